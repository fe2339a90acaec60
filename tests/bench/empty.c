/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A program that does nothing, linked as fuelreach is: what any process costs on this machine. */
int main(void) {
    return 0;
}
