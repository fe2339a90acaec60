/* SPDX-License-Identifier: GPL-3.0-or-later */
/* sched_setaffinity is nobody's but Linux's. */
#define _GNU_SOURCE

#include "operations.h"

#if defined(__linux__) && defined(__x86_64__)

#include <sched.h>
#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <sys/ptrace.h>
#include <sys/types.h>
#include <sys/user.h>
#include <sys/wait.h>
#include <unistd.h>

/* Operations on doubles that the instruction does: prefix F2 (one) or 66 (two), perhaps REX, 0F, and
 * then one of these. */
static int operations_of(const unsigned char *code) {
    enum { ROOT = 0x51, ADD = 0x58, MULTIPLY = 0x59, SUBTRACT = 0x5C, DIVIDE = 0x5E };
    const int count = code[0] == 0xF2 ? 1 : code[0] == 0x66 ? 2 : 0;
    const unsigned char *rest = code + 1 + ((code[1] & 0xF0) == 0x40 ? 1 : 0);
    const bool does = rest[0] == 0x0F && (rest[1] == ROOT || rest[1] == ADD || rest[1] == MULTIPLY ||
                                          rest[1] == SUBTRACT || rest[1] == DIVIDE);
    return does ? count : 0;
}

/* Steps the child until it stops itself; the sum of what its instructions do. */
static double count_steps(pid_t child) {
    double count = 0.0;
    for (;;) {
        int status;
        const long at = ptrace(PTRACE_PEEKUSER, child, (void *)offsetof(struct user, regs.rip), 0);
        const long code = ptrace(PTRACE_PEEKTEXT, child, (void *)(intptr_t)at, 0);
        count += operations_of((const unsigned char *)&code);
        if (ptrace(PTRACE_SINGLESTEP, child, 0, 0) != 0 || waitpid(child, &status, 0) != child ||
            !WIFSTOPPED(status)) {
            return -1.0;
        }
        if (WSTOPSIG(status) == SIGSTOP) {
            return count;
        }
    }
}

/* On one processor, or each step would wait for another to wake. */
static void stay_on_one_processor(cpu_set_t *before) {
    cpu_set_t one;
    const int here = sched_getcpu();
    sched_getaffinity(0, sizeof *before, before);
    CPU_ZERO(&one);
    CPU_SET((size_t)(here > 0 ? here : 0), &one);
    sched_setaffinity(0, sizeof one, &one);
}

double bench_operations(void (*work)(void *context), void *context) {
    cpu_set_t before;
    int status;
    stay_on_one_processor(&before);
    const pid_t child = fork();
    if (child == 0) {
        if (ptrace(PTRACE_TRACEME, 0, 0, 0) != 0) {
            _exit(1);
        }
        raise(SIGSTOP);
        work(context);
        raise(SIGSTOP);
        _exit(0);
    }
    double count = -1.0;
    if (child > 0 && waitpid(child, &status, 0) == child && WIFSTOPPED(status)) {
        count = count_steps(child);
        kill(child, SIGKILL);
        waitpid(child, &status, 0);
    }
    sched_setaffinity(0, sizeof before, &before);
    return count;
}

#else

double bench_operations(void (*work)(void *context), void *context) {
    (void)work;
    (void)context;
    return -1.0;
}

#endif

double bench_peak(int fused) {
    return fused ? bench_peak_fused() : bench_peak_apart();
}
