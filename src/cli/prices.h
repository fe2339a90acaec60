/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A price list: a CSV file of part name and price. */
#ifndef FR_CLI_PRICES_H
#define FR_CLI_PRICES_H

#include "fuelreach/sheet.h"

/* Lays the list over `prices`, one a part. Separators are commas, semicolons or tabs; names may be
 * quoted; a first line without a price is a heading. What is wrong goes into the report: a price
 * that is no number, a name that no part has (a caution). */
fr_status fr_prices_read(const char *path, const fr_part *parts, size_t part_count, double *prices,
                         fr_report *report);

#endif
