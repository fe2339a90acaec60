/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The section supply, but for injection; and the section site, which leans on it. */
#include <stdio.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"

/* ---- lift pumps ---- */

static bool same_part(const fr_scope *a, const char *name) {
    return name[0] && a->at && a->at->kind == FR_NODE_MAP && fr_node_get(a->at, "part") &&
           strcmp(fr_node_get(a->at, "part")->text, name) == 0;
}

/* Pumps of one kind share one factor: the first kind that is the same part. */
static void note_twin(fr_inputs *inputs, size_t kind, const fr_scope *part,
                      char names[][FR_NAME_MAX]) {
    inputs->pump_twin[kind] = kind;
    names[kind][0] = '\0';
    for (size_t i = 0; i < kind; i++)
        if (same_part(part, names[i])) {
            inputs->pump_twin[kind] = i;
            break;
        }
    if (part->at && part->at->kind == FR_NODE_MAP && fr_node_get(part->at, "part"))
        snprintf(names[kind], FR_NAME_MAX, "%s", fr_node_get(part->at, "part")->text);
}

/* What a sheet says of a pump beside the part itself. */
static void bind_pump_use(const fr_scope *part, fr_part_form form, fr_pump *pump) {
    fr_quantity condition = {.value = 1.0};
    fr_take_whole(part, "count", &pump->count);
    if (fr_take_quantity(part, "condition", &condition))
        fr_keep_tolerance(part, fr_scope_field(part, "condition"), &condition, NULL);
    pump->flow_factor = condition.value;
    fr_bind_spread(part, FR_IN_LIFT_PUMP);
    if (form == FR_PART_FACTORY) {
        fr_factory *factory = &part->binder->facts->factory;
        factory->lift_pump = true;
        factory->lift_pump_scale = fr_part_of_factory(part);
    }
}

static void bind_one_pump(const fr_scope *parent, const fr_node *node, const char *path,
                          size_t kind, char names[][FR_NAME_MAX]) {
    fr_binder *binder = parent->binder;
    fr_pumps *pumps = &binder->build->pumps;
    fr_scope part;
    const fr_field *field = fr_scope_field(parent, "lift_pump");
    if (binder->inputs)
        binder->inputs->pump = kind;
    fr_part_form form = fr_part_enter(parent, field, node, path, &part);
    if (form == FR_PART_REFUSED || form == FR_PART_ABSENT) {
        if (form == FR_PART_ABSENT)
            fr_tell_shape(parent, field, node, path);
        return;
    }
    fr_bind_pump(&part, &pumps->kinds[kind]);
    bind_pump_use(&part, form, &pumps->kinds[kind]);
    if (binder->inputs)
        note_twin(binder->inputs, kind, &part, names);
}

static void bind_unlike(const fr_scope *supply, const fr_node *map, const fr_node *list) {
    fr_pumps *pumps = &supply->binder->build->pumps;
    char names[FR_PUMP_KINDS_MAX][FR_NAME_MAX] = {""};
    fr_scope outer =
        fr_scope_of(supply->binder, fr_section_of(FR_SECTION_LIFT_PUMP), "supply.lift_pump", map);
    fr_scope_check_keys(&outer);
    fr_take_flag(&outer, "arrangement", &pumps->series);
    for (size_t i = 0; i < map->count; i++) {
        const char *key = map->pairs[i].key->text;
        if (strcmp(key, "pumps") != 0 && strcmp(key, "arrangement") != 0 &&
            fr_scope_field(&outer, key))
            fr_say(supply->binder, FR_ERROR, map->pairs[i].key, "supply.lift_pump",
                   "write it inside the list, with its pump",
                   "beside pumps only arrangement has a place");
    }
    if (list->kind != FR_NODE_LIST || list->count == 0 || list->count > FR_PUMP_KINDS_MAX) {
        fr_say(supply->binder, FR_ERROR, list, "supply.lift_pump.pumps",
               "write 'pumps: [{part: lift-255}, {part: inline-370}]'",
               "pumps is a list of 1 to %d pumps", FR_PUMP_KINDS_MAX);
        return;
    }
    for (size_t i = 0; i < list->count; i++) {
        char path[FR_PATH_MAX];
        snprintf(path, sizeof path, "supply.lift_pump.pumps.%zu", i);
        bind_one_pump(supply, list->items[i], path, i, names);
    }
    pumps->kind_count = list->count;
    if (list->count > 1 && supply->binder->facts->factory.lift_pump)
        fr_say(supply->binder, FR_ERROR, list, "supply.lift_pump.pumps",
               "write the ratings, 'part: 255 L/h'", "only a single kind of pump can be 'factory'");
}

void fr_bind_lift_pump(const fr_scope *supply) {
    fr_binder *binder = supply->binder;
    fr_pumps *pumps = &binder->build->pumps;
    const fr_node *node = fr_find(supply, "lift_pump");
    const fr_node *list = node ? fr_node_get(node, "pumps") : NULL;
    char names[1][FR_NAME_MAX];
    if (fr_is_blank(node)) {
        fr_tell_missing(supply, fr_scope_field(supply, "lift_pump"));
        return;
    }
    if (list) {
        bind_unlike(supply, node, list);
        return;
    }
    bind_one_pump(supply, node, "supply.lift_pump", 0, names);
    pumps->kind_count = 1;
    fr_scope use =
        fr_scope_of(binder, fr_section_of(FR_SECTION_LIFT_PUMP), "supply.lift_pump", node);
    if (pumps->kinds[0].count > 1 || fr_find(&use, "arrangement"))
        fr_take_flag(&use, "arrangement", &pumps->series);
}

/* ---- the pump's circuit ---- */

/* As cars are built, and with a relay by the pump (common practice). */
static const double wiring_ohm[] = {0.110, 0.045};

static void bind_wiring_value(const fr_scope *circuit, const fr_field *field, const fr_node *node,
                              fr_pumps *pumps) {
    fr_scope part;
    char path[FR_PATH_MAX];
    fr_path_join(circuit, field->key, path, sizeof path);
    bool scalar = node->kind == FR_NODE_SCALAR;
    if (scalar && node->text[strcspn(node->text, "0123456789")] != '\0' &&
        strchr("0123456789.-+", node->text[0])) {
        fr_quantity resistance;
        if (fr_read_quantity(circuit, field, node, &resistance)) {
            pumps->wiring_ohm = resistance.value;
            fr_keep_tolerance(circuit, field, &resistance, &pumps->wiring_ohm);
        }
        return;
    }
    fr_part_form form = fr_part_enter(circuit, field, node, path, &part);
    if (form == FR_PART_WRITTEN || form == FR_PART_NAMED) {
        fr_bind_wiring(&part, &pumps->wiring_ohm, &pumps->fuse_a);
        fr_bind_spread(&part, FR_IN_WIRING);
    }
}

static void bind_wiring(const fr_scope *circuit, fr_pumps *pumps) {
    const fr_field *field = fr_scope_field(circuit, "wiring");
    const fr_node *node = fr_find(circuit, "wiring");
    unsigned word = 0;
    if (!node) {
        fr_assume_word(circuit, "wiring", word, &word);
        pumps->wiring_ohm = wiring_ohm[word];
        return;
    }
    word = node->kind == FR_NODE_SCALAR ? (unsigned)fr_word_find(field->words, node->text)
                                        : (unsigned)field->words->count;
    if (word < field->words->count)
        pumps->wiring_ohm = wiring_ohm[word];
    else if (node->kind == FR_NODE_SCALAR &&
             fr_word_called(field->words, node->text) < field->words->count)
        fr_tell_word(circuit, field, node);
    else
        bind_wiring_value(circuit, field, node, pumps);
}

static unsigned pump_total(const fr_pumps *pumps) {
    unsigned total = 0;
    for (size_t i = 0; i < pumps->kind_count; i++)
        total += pumps->kinds[i].count;
    return total;
}

static void bind_circuit(const fr_scope *supply, fr_pumps *pumps) {
    fr_scope circuit;
    fr_scope_enter(supply, "pump_circuit", &circuit);
    bind_wiring(&circuit, pumps);
    /* With one pump nothing is shared. */
    if (fr_find(&circuit, "shared") || pump_total(pumps) > 1)
        fr_take(&circuit, "shared", &pumps->shared_wiring_ohm);
    fr_take(&circuit, "fuse", &pumps->fuse_a);
}

/* ---- filters and lines ---- */

static void tell_no_list(const fr_scope *supply, const fr_field *field, const fr_node *node) {
    char path[FR_PATH_MAX], hint[FR_SAY_MAX], first[FR_SAY_MAX / 4];
    const char *text = node->kind == FR_NODE_SCALAR ? node->text : "";
    const char *comma = strchr(text, ',');
    fr_quantity bore, length;
    fr_kinds lengths = FR_KINDS(FR_KIND_LENGTH);
    fr_path_join(supply, field->key, path, sizeof path);
    snprintf(first, sizeof first, "%.*s", comma ? (int)(comma - text) : 0, text);
    if (comma && fr_quantity_parse(first, lengths, &bore) == FR_QUANTITY_FINE &&
        fr_quantity_parse(comma + 1, lengths, &length) == FR_QUANTITY_FINE)
        snprintf(hint, sizeof hint, "write '%s: [{bore: %s, length: %s}]'", field->key, first,
                 comma + 1 + strspn(comma + 1, " "));
    else if (text[0] && !strpbrk(text, ":{}[], "))
        snprintf(hint, sizeof hint, "write '%s: [%.60s]'", field->key, text);
    else
        snprintf(hint, sizeof hint, "write '%s: %s'", field->key, field->example);
    fr_say(supply->binder, FR_ERROR, node, path, hint, "%s is a list", field->key);
}

/* Opens the i-th part of a list field. False when it was refused. */
static bool enter_item(const fr_scope *supply, const fr_field *field, const fr_node *list, size_t i,
                       fr_scope *part) {
    char path[FR_PATH_MAX];
    snprintf(path, sizeof path, "supply.%s.%zu", field->key, i);
    fr_part_form form = fr_part_enter(supply, field, list->items[i], path, part);
    if (form == FR_PART_ABSENT)
        fr_tell_shape(supply, field, list->items[i], path);
    return form != FR_PART_REFUSED && form != FR_PART_ABSENT;
}

static bool is_list_of(const fr_scope *supply, const fr_field *field, const fr_node *node,
                       size_t most) {
    char path[FR_PATH_MAX];
    if (node->kind != FR_NODE_LIST) {
        tell_no_list(supply, field, node);
        return false;
    }
    if (node->count <= most)
        return true;
    fr_path_join(supply, field->key, path, sizeof path);
    fr_say(supply->binder, FR_ERROR, node, path, NULL, "%s has at most %zu entries", field->key,
           most);
    return false;
}

static void bind_filters(const fr_scope *supply, fr_feed *feed) {
    /* Common practice: a new paper filter. */
    static const fr_filter usual = {.drop_pa = 0.12e5, .rated_flow_m3_s = 200e-3 / 3600.0};
    const fr_field *field = fr_scope_field(supply, "filters");
    const fr_node *node = fr_find(supply, "filters");
    if (!node) {
        feed->filters[feed->filter_count++] = usual;
        fr_assume_text(supply, "filters", field->default_text);
        return;
    }
    if (!is_list_of(supply, field, node, FR_FILTERS_MAX))
        return;
    for (size_t i = 0; i < node->count; i++) {
        fr_scope part;
        if (!enter_item(supply, field, node, i, &part))
            continue;
        fr_bind_filter(&part, &feed->filters[feed->filter_count++]);
        fr_bind_spread(&part, FR_IN_FILTER_DROP);
    }
}

/* Common practice: 8 mm drawn tube, 4.5 m from tank to engine, six bends and unions. */
static const fr_line usual_line = {
    .bore_m = 8e-3, .length_m = 4.5, .roughness_m = 1.5e-6, .fittings = 6.0};

static void bind_lines(const fr_scope *supply, fr_feed *feed) {
    const fr_field *field = fr_scope_field(supply, "lines");
    const fr_node *node = fr_find(supply, "lines");
    if (!node) {
        feed->lines[feed->line_count++] = usual_line;
        fr_assume_text(supply, "lines", field->default_text);
        return;
    }
    if (!is_list_of(supply, field, node, FR_LINES_MAX))
        return;
    for (size_t i = 0; i < node->count; i++) {
        fr_scope part;
        if (!enter_item(supply, field, node, i, &part))
            continue;
        fr_bind_line(&part, &feed->lines[feed->line_count++]);
        fr_bind_spread(&part, FR_IN_LINE_LOSS);
    }
}

/* By default as long as the feed line, with its fittings. */
static void default_return(const fr_scope *supply, fr_feed *feed) {
    char text[FR_VALUE_MAX], length[48];
    fr_line line = usual_line;
    if (feed->line_count) {
        line.length_m = 0.0;
        line.fittings = 0.0;
    }
    for (size_t i = 0; i < feed->line_count; i++) {
        line.length_m += feed->lines[i].length_m;
        line.fittings += feed->lines[i].fittings;
    }
    feed->return_line = line;
    fr_spell_in("m", line.length_m, length, sizeof length);
    snprintf(text, sizeof text, "{bore: %g mm, length: %s, roughness: %g um, fittings: %.12g}",
             line.bore_m * 1e3, length, line.roughness_m * 1e6, line.fittings);
    fr_assume_text(supply, "return_line", text);
}

static void bind_return_line(const fr_scope *supply, fr_feed *feed) {
    const fr_node *node = fr_find(supply, "return_line");
    fr_scope part;
    if (!node) {
        if (feed->regulation == FR_RETURN)
            default_return(supply, feed);
        return;
    }
    fr_part_form form = fr_part_enter(supply, fr_scope_field(supply, "return_line"), node,
                                      "supply.return_line", &part);
    if (form == FR_PART_WRITTEN || form == FR_PART_NAMED)
        fr_bind_line(&part, &feed->return_line);
    if (feed->regulation != FR_RETURN)
        fr_say(supply->binder, FR_CAUTION, fr_find_key(supply, "return_line"), "supply.return_line",
               NULL, "return_line is used only with regulation: return");
}

/* ---- regulation ---- */

static const double BAR = 1e5;

static double usual_feed_pressure(const fr_build *build) {
    /* In order of fr_regulation; common practice. */
    static const double bar[] = {3.0, 4.0, 4.0};
    static const double direct_bar = 5.0;
    return BAR * (build->direct.present ? direct_bar : bar[build->feed.regulation]);
}

static void bind_reference(const fr_scope *supply, fr_build *build) {
    bool return_type = build->feed.regulation == FR_RETURN;
    unsigned reference = return_type && build->port.present ? 1 : 0;
    if (fr_find(supply, "reference"))
        fr_take_word(supply, "reference", &reference);
    else if (build->feed.regulation != FR_MECHANICAL_RETURNLESS)
        fr_assume_word(supply, "reference", reference, &reference);
    else if (supply->binder->assumed)
        fr_assume_text(supply, "reference", "atmosphere");
    build->feed.manifold_referenced = reference != 0;
    if (build->feed.manifold_referenced && build->feed.regulation == FR_MECHANICAL_RETURNLESS)
        fr_say(supply->binder, FR_ERROR, fr_find(supply, "reference"), "supply.reference",
               "write 'reference: atmosphere'",
               "a regulator in the tank does not see the manifold");
}

static void bind_bypass(const fr_scope *supply, fr_feed *feed) {
    static const double USUAL_M3_S = 10e-3 / 3600.0; /* 10 L/h, common practice */
    bool electronic = feed->regulation == FR_ELECTRONIC_RETURNLESS;
    double usual = electronic ? 0.0 : USUAL_M3_S;
    if (!fr_take(supply, "minimum_bypass", &feed->minimum_bypass_m3_s))
        fr_assume(supply, "minimum_bypass", usual, &feed->minimum_bypass_m3_s);
    else if (electronic && feed->minimum_bypass_m3_s > 0.0)
        fr_say(supply->binder, FR_CAUTION, fr_find_key(supply, "minimum_bypass"),
               "supply.minimum_bypass", "it has no regulator that needs a flow",
               "minimum_bypass is not used with electronic-returnless");
}

static void bind_feed(const fr_scope *supply, fr_build *build) {
    fr_feed *feed = &build->feed;
    bool natural = build->engine.aspiration == FR_NATURAL;
    unsigned regulation = build->direct.present ? FR_ELECTRONIC_RETURNLESS
                          : natural             ? FR_MECHANICAL_RETURNLESS
                                                : FR_RETURN;
    if (!fr_take_word(supply, "regulation", &regulation))
        fr_assume_word(supply, "regulation", regulation, &regulation);
    feed->regulation = (fr_regulation)regulation;
    feed->loss_factor = 1.0;
    if (!fr_take(supply, "feed_pressure", &feed->pressure_gauge_pa))
        fr_assume(supply, "feed_pressure", usual_feed_pressure(build), &feed->pressure_gauge_pa);
    bind_reference(supply, build);
    bind_bypass(supply, feed);
    fr_take(supply, "jet_pump", &feed->jet_pump_m3_s);
}

void fr_bind_supply(const fr_scope *supply) {
    fr_build *build = supply->binder->build;
    build->port.present = !fr_is_blank(fr_find(supply, "port_injection"));
    build->direct.present = !fr_is_blank(fr_find(supply, "direct_injection"));
    fr_bind_lift_pump(supply);
    bind_circuit(supply, &build->pumps);
    fr_take(supply, "strainer_loss", &build->feed.strainer_loss_pa);
    bind_filters(supply, &build->feed);
    bind_lines(supply, &build->feed);
    bind_feed(supply, build);
    bind_return_line(supply, &build->feed);
    fr_bind_injection(supply);
}
