/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the log said. */
#include "report/format.h"
#include "report/page_inside.h"
#include "report/review_words.h"

void fr_page_log(FILE *out, const fr_page_document *document) {
    const fr_review_result *review = document->review;
    if (review == NULL) {
        return;
    }
    fputs("<section><h2>The log against the prediction</h2>\n<div class=\"scroll\" tabindex=\"0\" "
          "role=\"region\" aria-label=\"Log\"><table class=\"stacks\"><thead><tr><th scope=\"col\">Channel</th>"
          "<th scope=\"col\">Measured less predicted</th><th scope=\"col\">Known to</th>"
          "<th scope=\"col\" class=\"words\">What that suggests</th></tr></thead><tbody>\n",
          out);
    for (size_t i = 0; i < review->channel_count; i++) {
        const fr_review_channel *channel = &review->channels[i];
        const double factor =
            channel->relative ? 100.0 : fr_in_unit(1.0, fr_channel_unit(channel->channel));
        const char *unit = channel->relative ? "%" : fr_channel_unit(channel->channel);
        fputs("<tr><th scope=\"row\">", out);
        fr_html_text(out, fr_channel_name(channel->channel));
        fprintf(out, "</th><td>%+.3g %s</td><td>%.2g %s</td><td class=\"words\">",
                factor * channel->mean_residual, unit, factor * channel->uncertainty, unit);
        fr_html_text(out, channel->suggests);
        fputs("</td></tr>\n", out);
    }
    fputs("</tbody></table></div>\n", out);
    fr_page_log_figures(out, document);
    fputs("</section>\n", out);
}

