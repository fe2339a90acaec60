/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain arithmetic, worked out again: numbers, + - * / ^, brackets, sqrt, ln, exp, min, max. */
#ifndef FUELREACH_TESTS_REPORT_ARITHMETIC_H
#define FUELREACH_TESTS_REPORT_ARITHMETIC_H

/* NAN for what is no such expression. */
double arithmetic(const char *text);

#endif
