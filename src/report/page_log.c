/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the log said. */
#include <math.h>

#include "report/format.h"
#include "report/page_inside.h"
#include "report/review_words.h"

/* A difference in the channel's own terms, "+1.2 %" or "-0.21 bar". */
static void write_difference(FILE *out, const fr_page_document *document,
                             const fr_review_channel *channel, double value, const char *sign,
                             const char *label) {
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "%s", sign);
    if (channel->relative) {
        fr_words_add(&words, "%.1f %%", 100.0 * value);
    } else {
        fr_show_channel(&words, channel->channel, document->units, value, true);
    }
    fprintf(out, "<td data-label=\"%s\">", label);
    fr_html_text(out, words.text);
    fputs("</td>", out);
}

/* On paper only what the sheet predicts, and what parts from it. */
static void write_channel(FILE *out, const fr_page_document *document,
                          const fr_review_channel *channel) {
    const double mean = channel->mean_residual;
    fprintf(out, "<tr%s><th scope=\"row\">",
            channel->fitted || channel->parts ? "" : " class=\"screen\"");
    fr_html_text(out, fr_channel_label(channel->channel));
    fputs("</th>", out);
    write_difference(out, document, channel, fabs(mean), mean < 0.0 ? "-" : "+", "off by");
    write_difference(out, document, channel, channel->uncertainty, "\302\261", "known to");
    fprintf(out, "<td class=\"words%s\">",
            channel->suggests[0] != '\0' || channel->parts ? "" : " none");
    fr_html_text(out, channel->suggests[0] != '\0' ? channel->suggests
                      : channel->parts             ? "parts from the sheet"
                                                   : "-");
    fputs("</td></tr>\n", out);
}

void fr_page_log(FILE *out, const fr_page_document *document) {
    const fr_review_result *review = document->review;
    if (review == NULL) {
        return;
    }
    fputs("<section><h2>The log against the prediction</h2>\n<div class=\"scroll\" tabindex=\"0\" "
          "role=\"region\" aria-label=\"Log\"><table class=\"stacks\"><thead><tr>"
          "<th scope=\"col\">Channel</th><th scope=\"col\">Measured less predicted, mean</th>"
          "<th scope=\"col\">Sheet and sensor known to</th>"
          "<th scope=\"col\" class=\"words\">What that suggests</th></tr></thead><tbody>\n",
          out);
    for (size_t i = 0; i < review->channel_count; i++) {
        write_channel(out, document, &review->channels[i]);
    }
    fputs("</tbody></table></div>\n", out);
    fr_page_log_figures(out, document);
    fputs("</section>\n", out);
}
