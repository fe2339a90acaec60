/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one place that says which version this is; the Makefile reads it too. */
#ifndef FR_CLI_VERSION_H
#define FR_CLI_VERSION_H

#define FR_VERSION "0.1.0"

#endif
