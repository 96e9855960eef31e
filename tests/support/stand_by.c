/* stand_by.c - see stand_by.h. */
#include "support/stand_by.h"

#include <fcntl.h>
#include <limits.h>
#include <setjmp.h>
#include <signal.h>
#include <spawn.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

/* One for each process; it ends with the process, whose end of the socket is the only one. */
static struct {
    pid_t owner; /* 0: none was started yet */
    pid_t process;
    int socket; /* negative: there is none */
} standing;

/* Waited for, so that its time is counted as the test's. */
static void finish(void)
{
    if (standing.owner != getpid() || standing.socket < 0)
        return;
    close(standing.socket);
    waitpid(standing.process, NULL, 0);
}

static void start(const char *program, const char *library)
{
    int pair[2];
    posix_spawn_file_actions_t actions;
    char *const arguments[] = {(char *)program, NULL};
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, pair), 0);
    assert_int_equal(posix_spawn_file_actions_init(&actions), 0);
    for (int k = 0; k < 3; k++)
        assert_int_equal(posix_spawn_file_actions_addopen(&actions, k, "/dev/null", O_RDWR, 0), 0);
    assert_int_equal(posix_spawn_file_actions_adddup2(&actions, pair[1], STAND_BY_SOCKET), 0);
    setenv("LD_PRELOAD", library, 1);
    setenv("LD_BIND_NOW", "1", 1); /* once, not in each copy */
    assert_int_equal(posix_spawn(&standing.process, program, &actions, NULL, arguments, environ), 0);
    unsetenv("LD_BIND_NOW");
    unsetenv("LD_PRELOAD");
    posix_spawn_file_actions_destroy(&actions);
    close(pair[1]);
    standing.socket = pair[0];
    atexit(finish);
}

static bool is_there(const char *program)
{
    if (getenv("LD_PRELOAD") != NULL)
        return false;
    if (standing.owner != getpid()) {
        char library[PATH_MAX];
        const char *slash = strrchr(program, '/');
        standing.owner = getpid();
        standing.socket = -1;
        snprintf(library, sizeof library, "%.*s/tests/stand_by.so", slash != NULL ? (int)(slash - program) : 0,
                 program);
        if (access(library, R_OK) == 0)
            start(program, library);
    }
    return standing.socket >= 0;
}

static uint32_t count_strings(char *const *list, uint32_t *bytes)
{
    uint32_t count = 0;
    for (; list[count] != NULL; count++)
        *bytes += (uint32_t)strlen(list[count]) + 1;
    return count;
}

static char *add_strings(char *to, char *const *list)
{
    for (; *list != NULL; list++)
        to = stpcpy(to, *list) + 1;
    return to;
}

static uint32_t signals_ignored(void)
{
    uint32_t ignored = 0;
    struct sigaction now;
    for (int k = 1; k < STAND_BY_SIGNALS; k++)
        if (sigaction(k, NULL, &now) == 0 && now.sa_handler == SIG_IGN)
            ignored |= UINT32_C(1) << k;
    return ignored;
}

static void send_request(const StandByRequest *request, const int *descriptor)
{
    union {
        struct cmsghdr header;
        char bytes[CMSG_SPACE(STAND_BY_DESCRIPTORS * sizeof(int))];
    } rights = {.header = {.cmsg_level = SOL_SOCKET,
                           .cmsg_type = SCM_RIGHTS,
                           .cmsg_len = CMSG_LEN(STAND_BY_DESCRIPTORS * sizeof(int))}};
    StandByRequest copy = *request;
    struct iovec whole = {&copy, sizeof copy};
    const struct msghdr message = {
        .msg_iov = &whole, .msg_iovlen = 1, .msg_control = &rights, .msg_controllen = sizeof rights.bytes};
    memcpy(CMSG_DATA(&rights.header), descriptor, STAND_BY_DESCRIPTORS * sizeof(int));
    assert_int_equal(sendmsg(standing.socket, &message, MSG_NOSIGNAL), sizeof copy);
}

bool stand_by_run(const char *program, char *const *arguments, const int *descriptor, int *status)
{
    if (!is_there(program))
        return false;
    StandByRequest request = {.ignored = signals_ignored()};
    request.arguments = count_strings(arguments, &request.bytes);
    request.variables = count_strings(environ, &request.bytes);
    char *strings = malloc(request.bytes);
    assert_non_null(strings);
    add_strings(add_strings(strings, arguments), environ);
    send_request(&request, descriptor);
    assert_int_equal(send(standing.socket, strings, request.bytes, MSG_NOSIGNAL), request.bytes);
    free(strings);
    if (recv(standing.socket, status, sizeof *status, MSG_WAITALL) != (ssize_t)sizeof *status)
        fail_msg("what stands by to run %s has ended", program);
    return true;
}
