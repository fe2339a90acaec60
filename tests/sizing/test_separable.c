/* SPDX-License-Identifier: GPL-3.0-or-later */
/* On an instance that falls apart into one choice a slot, the search spends what a solver of
 * mixed-integer programs spends (GLPK's glpsol, from Debian's glpk-utils). */
#include "support.h"

#include <unistd.h>

#include "fuelreach/sizing.h"
#include "reference/builds.h"
#include "sizing/catalogue.h"

/* Behind a return line the rail holds its set pressure whatever the pump, so that the port
 * injectors and the pump are chosen apart: a part does it or does not. */
typedef struct separable {
    fr_build build;
    catalogue parts;
    fr_check *check;
} separable;

static bool clear_with(separable *all, const fr_part *part) {
    fr_build build = all->build;
    const fr_slot slot =
        part->kind == FR_PART_LIFT_PUMP ? FR_SLOT_LIFT_PUMP : FR_SLOT_PORT_INJECTOR;
    const fr_size_item item = {part, slot == FR_SLOT_LIFT_PUMP ? 1 : build.port.count, false, 0};
    fr_size_fit(&build, slot, &item);
    if (slot == FR_SLOT_PORT_INJECTOR) { /* behind a pump that holds the rail at set pressure */
        build.pumps.kinds[0].flow_factor *= 8.0;
    }
    const fr_check_result *result = fr_check_outline(all->check, &build);
    const fr_stage asked =
        slot == FR_SLOT_LIFT_PUMP ? FR_STAGE_LIFT_PUMP : FR_STAGE_PORT_INJECTOR;
    for (size_t i = 0; i < result->blend_count; i++) {
        for (size_t s = 0; s < result->blends[i].stage_count; s++) {
            const fr_stage_result *stage = &result->blends[i].stages[s];
            if (stage->stage == asked && stage->verdict != FR_CLEAR) {
                return false;
            }
        }
    }
    return true;
}

/* One column a part: its price, and 1 where it does what its slot asks. */
static void write_program(separable *all, FILE *out) {
    static const fr_part_kind SLOTS[] = {FR_PART_LIFT_PUMP, FR_PART_PORT_INJECTOR};
    fputs("Minimize\n cost:", out);
    for (size_t i = 0; i < all->parts.count; i++) {
        const fr_part *part = &all->parts.parts[i];
        const double count = part->kind == FR_PART_LIFT_PUMP ? 1.0 : all->build.port.count;
        fprintf(out, " + %.17g x%zu", part->price * count, i);
    }
    fputs("\nSubject To\n", out);
    for (size_t s = 0; s < 2; s++) {
        fprintf(out, " slot%zu: 0 x0", s);
        for (size_t i = 0; i < all->parts.count; i++) {
            if (all->parts.parts[i].kind == SLOTS[s] && clear_with(all, &all->parts.parts[i])) {
                fprintf(out, " + 1 x%zu", i);
            }
        }
        fputs(" >= 1\n", out);
    }
    fputs("Binary\n", out);
    for (size_t i = 0; i < all->parts.count; i++) {
        fprintf(out, " x%zu\n", i);
    }
    fputs("End\n", out);
}

static bool solve(const char *program, double *cost) {
    char command[256], line[256];
    snprintf(command, sizeof command, "glpsol --lp %s -o /dev/stdout", program);
    FILE *out = popen(command, "r");
    bool found = false, optimal = false;
    while (out != NULL && fgets(line, sizeof line, out) != NULL) {
        optimal = optimal || strstr(line, "INTEGER OPTIMAL") != NULL;
        found = sscanf(line, "Objective: cost = %lf", cost) == 1 || found;
    }
    return out != NULL && pclose(out) == 0 && found && optimal;
}

static void the_search_spends_what_a_solver_spends(void **state) {
    (void)state;
    if (access("/usr/bin/glpsol", X_OK) != 0) {
        print_message("SKIPPED: glpsol is not installed (Debian: glpk-utils)\n");
        skip();
    }
    static separable all;
    static fr_size_result result;
    size_t compared = 0;
    all.check = fr_check_open();
    fr_check *scratch = fr_check_open();
    for (uint64_t seed = 1; seed <= 8; seed++) {
        ref_make_port(&all.build);
        all.build.pumps.kinds[0].flow_factor *= 0.5; /* neither what it has will do */
        all.build.port.flow_kg_s *= 0.5;
        catalogue_make(&all.parts, &all.build, seed * 13, 12, true, 3.7);
        size_t kept = 0;
        for (size_t i = 0; i < all.parts.count; i++) { /* pumps one by one, and injectors */
            if (all.parts.parts[i].kind == FR_PART_LIFT_PUMP ||
                all.parts.parts[i].kind == FR_PART_PORT_INJECTOR) {
                all.parts.parts[kept++] = all.parts.parts[i];
            }
        }
        all.parts.count = kept;
        char name[] = "/tmp/fuelreach-lp-XXXXXX";
        const int file = mkstemp(name);
        assert_true(file >= 0);
        FILE *out = fdopen(file, "w");
        write_program(&all, out);
        fclose(out);
        double cost;
        const bool solved = solve(name, &cost);
        unlink(name);
        const fr_size_request request = {.build = &all.build,
                                         .parts = all.parts.parts,
                                         .part_count = all.parts.count,
                                         .budget = INFINITY,
                                         .top = FR_SIZE_TOP_MAX,
                                         .scratch = scratch};
        assert_int_equal(fr_size_run(&request, &result), FR_OK);
        for (size_t i = 0; solved && i < result.choice_count; i++) {
            if (result.choices[i].items[FR_SLOT_LIFT_PUMP].count == 1) { /* one pump, as there */
                assert_within(result.choices[i].price, cost, 1e-6);
                compared++;
                break;
            }
        }
    }
    fr_check_close(all.check);
    fr_check_close(scratch);
    print_message("%zu instances cost the same\n", compared);
    assert_true(compared >= 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_search_spends_what_a_solver_spends),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
