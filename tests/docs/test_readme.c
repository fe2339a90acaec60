/* SPDX-License-Identifier: GPL-3.0-or-later */
/* README and docs/ say what the program does today. With FR_WRITE_DOCS=1 in the environment the
 * documents are written anew instead of compared. Runs in the project's folder. */
#include "docs/blocks.h"
#include "support.h"

#include <glob.h>
#include <unistd.h>

#include "fuelreach/sheet.h"

static glob_t documents;

static int find_documents(void **state) {
    (void)state;
    /* Without the program every block would be written as the shell's complaint. */
    if (access(FR_BUILD_DIR "/fuelreach", X_OK) != 0) {
        print_error("%s/fuelreach is not built\n", FR_BUILD_DIR);
        return -1;
    }
    return glob("README.md", 0, NULL, &documents) != 0 ||
           glob("docs/*.md", GLOB_APPEND, NULL, &documents) != 0;
}

static int forget_documents(void **state) {
    (void)state;
    globfree(&documents);
    return 0;
}

static char *read_document(const char *path) {
    char *text = support_read_file(path, NULL);
    if (text == NULL) {
        fail_msg("cannot read %s", path);
    }
    return text;
}

/* Fails and shows the first line that differs. */
static void check_same(const char *path, const char *is, const char *should) {
    size_t line = 1;
    const char *is_line = is;
    const char *should_line = should;
    while (*is == *should && *is != '\0') {
        if (*is == '\n') {
            line++;
            is_line = is + 1;
            should_line = should + 1;
        }
        is++;
        should++;
    }
    if (*is != *should) {
        fail_msg("%s:%zu is out of date: '%.*s', now '%.*s'; FR_WRITE_DOCS=1 writes it anew", path,
                 line, (int)strcspn(is_line, "\n"), is_line, (int)strcspn(should_line, "\n"),
                 should_line);
    }
}

static void write_document(const char *path, const char *text) {
    FILE *file = fopen(path, "w");
    if (file == NULL || fputs(text, file) < 0 || fclose(file) != 0) {
        fail_msg("cannot write %s", path);
    }
}

static void what_the_program_writes_is_current(void **state) {
    bool write = getenv("FR_WRITE_DOCS") != NULL;
    size_t total = 0;
    (void)state;
    for (size_t i = 0; i < documents.gl_pathc; i++) {
        const char *path = documents.gl_pathv[i];
        size_t blocks = 0;
        char *text = read_document(path);
        char *anew = docs_written_anew(text, &blocks);
        if (anew == NULL) {
            fail_msg("%s: a mark that is not closed, or no fenced block below it", path);
        } else if (write && strcmp(text, anew) != 0) {
            write_document(path, anew);
        } else {
            check_same(path, text, anew);
        }
        total += blocks;
        free(anew);
        free(text);
    }
    assert_true(total >= 4);
}

/* A stale document is noticed, so that the comparison above can fail. */
static void a_stale_block_is_noticed(void **state) {
    static const char text[] =
        "Before\n<!-- output of: fuelreach --version -->\n```\nold\n```\nAfter\n";
    size_t blocks = 0;
    char *anew = docs_written_anew(text, &blocks);
    (void)state;
    assert_non_null(anew);
    assert_int_equal(blocks, 1);
    assert_string_not_equal(text, anew);
    assert_contains(anew, "-->\n```\nfuelreach");
    assert_contains(anew, "\n```\nAfter\n");
    free(anew);
    assert_null(docs_written_anew("<!-- fields -->\nno end\n", &blocks));
}

/* ---- links and sheets ---- */

/* The target of a link, without what follows '#', must be a file; addresses are left alone. */
static void check_link(const char *path, const char *target, size_t length) {
    char file[512];
    FILE *opened;
    bool in_docs = strncmp(path, "docs/", 5) == 0;
    size_t until_mark = strcspn(target, "#)");
    length = until_mark < length ? until_mark : length;
    if (length == 0 || strncmp(target, "http", 4) == 0) {
        return;
    }
    snprintf(file, sizeof file, "%s%.*s", in_docs ? "docs/" : "", (int)length, target);
    opened = fopen(file, "r");
    if (opened == NULL) {
        fail_msg("%s: a link leads to %s, which is not there", path, file);
    } else {
        fclose(opened);
    }
}

static void links_lead_somewhere(void **state) {
    size_t links = 0;
    (void)state;
    for (size_t i = 0; i < documents.gl_pathc; i++) {
        char *text = read_document(documents.gl_pathv[i]);
        for (const char *at = strstr(text, "]("); at != NULL; at = strstr(at + 2, "](")) {
            check_link(documents.gl_pathv[i], at + 2, strcspn(at + 2, ")"));
            links++;
        }
        free(text);
    }
    assert_true(links >= 5);
}

/* Reads a fenced block as a sheet; true when it is a whole one. */
static bool check_sheet(const char *path, const char *block, size_t length) {
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet = NULL;
    char *text = calloc(length + 1, 1);
    bool whole;
    assert_non_null(text);
    memcpy(text, block, length);
    whole = strstr(text, "engine:\n") != NULL && strstr(text, "supply:\n") != NULL;
    if (whole) {
        fr_sheet_open_text(path, text, length, NULL, &report, &sheet);
        assert_no_errors(&report);
        assert_non_null(sheet);
        fr_sheet_close(sheet);
    }
    fr_report_close(&report);
    free(text);
    return whole;
}

static void every_whole_sheet_shown_can_be_used(void **state) {
    static const char opening[] = "```yaml\n";
    size_t sheets = 0;
    (void)state;
    for (size_t i = 0; i < documents.gl_pathc; i++) {
        char *text = read_document(documents.gl_pathv[i]);
        const char *at = strstr(text, opening);
        while (at != NULL) {
            const char *block = at + strlen(opening);
            const char *end = strstr(block, "\n```");
            assert_non_null(end);
            sheets += check_sheet(documents.gl_pathv[i], block, (size_t)(end + 1 - block));
            at = strstr(end + 4, opening);
        }
        free(text);
    }
    assert_true(sheets >= 2);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_program_writes_is_current),
        cmocka_unit_test(a_stale_block_is_noticed),
        cmocka_unit_test(links_lead_somewhere),
        cmocka_unit_test(every_whole_sheet_shown_can_be_used),
    };
    return cmocka_run_group_tests(tests, find_documents, forget_documents);
}
