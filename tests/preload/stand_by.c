/* stand_by.c - loaded in front of the C library: the program stands by in front of its main, and each run is a copy of
 * it (fork), so that libraries are loaded and sanitizers set up once, not for each of a thousand runs. What asks is
 * tests/support/stand_by.c.
 *
 * STAND_BY_SOCKET takes one Request with the folder, the input and both outputs as descriptors, then its strings, each
 * with its NUL: arguments, then environment. It gives back the status of waitpid. Where it is closed that is the end.
 */
#include <dlfcn.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/stand_by.h"

typedef int Main(int argc, char **argv, char **environment);

static Main *of_program;

/* False: nobody asks any more. */
static bool receive(StandByRequest *request, int *descriptor)
{
    union {
        struct cmsghdr header;
        char bytes[CMSG_SPACE(STAND_BY_DESCRIPTORS * sizeof(int))];
    } rights = {0};
    struct iovec whole = {request, sizeof *request};
    struct msghdr message = {
        .msg_iov = &whole, .msg_iovlen = 1, .msg_control = &rights, .msg_controllen = sizeof rights};
    if (recvmsg(STAND_BY_SOCKET, &message, MSG_WAITALL) != (ssize_t)sizeof *request)
        return false;
    const struct cmsghdr *header = CMSG_FIRSTHDR(&message);
    if (header == NULL || header->cmsg_len != CMSG_LEN(STAND_BY_DESCRIPTORS * sizeof(int)))
        abort();
    memcpy(descriptor, CMSG_DATA(header), STAND_BY_DESCRIPTORS * sizeof(int));
    return true;
}

/* Past malloc, whose storage is the program's. */
static void *storage(size_t bytes)
{
    void *at = mmap(NULL, bytes, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    if (at == MAP_FAILED)
        abort();
    return at;
}

static char **next_strings(char **at, uint32_t count)
{
    char **list = storage((count + 1) * sizeof *list);
    for (uint32_t k = 0; k < count; k++) {
        list[k] = *at;
        *at += strlen(*at) + 1;
    }
    return list;
}

/* But for those that sanitizers handle. */
static void ignore_signals(uint32_t ignored)
{
    struct sigaction now;
    for (int k = 1; k < STAND_BY_SIGNALS; k++)
        if (sigaction(k, NULL, &now) == 0 && (now.sa_handler == SIG_DFL || now.sa_handler == SIG_IGN))
            signal(k, (ignored >> k & 1) != 0 ? SIG_IGN : SIG_DFL);
}

/* In the copy: what it would have been started with. */
static char **become(const StandByRequest *request, const int *descriptor)
{
    char *at = storage(request->bytes);
    if (recv(STAND_BY_SOCKET, at, request->bytes, MSG_WAITALL) != (ssize_t)request->bytes || fchdir(descriptor[0]) != 0)
        abort();
    char **arguments = next_strings(&at, request->arguments);
    environ = next_strings(&at, request->variables);
    close(STAND_BY_SOCKET);
    ignore_signals(request->ignored);
    for (int k = 1; k < STAND_BY_DESCRIPTORS; k++)
        if (dup2(descriptor[k], k - 1) < 0)
            abort();
    for (int k = 0; k < STAND_BY_DESCRIPTORS; k++)
        close(descriptor[k]);
    return arguments;
}

static int stand_by(int argc, char **argv, char **environment)
{
    (void)argc;
    (void)argv;
    (void)environment;
    StandByRequest request;
    int descriptor[STAND_BY_DESCRIPTORS], status;
    /* The first look for leaks takes longest, in copies as here. */
    void (*look)(void);
    *(void **)&look = dlsym(RTLD_DEFAULT, "__lsan_do_recoverable_leak_check");
    if (look != NULL)
        look();
    while (receive(&request, descriptor)) {
        const pid_t copy = fork();
        if (copy == 0) {
            char **arguments = become(&request, descriptor);
            return of_program((int)request.arguments, arguments, environ);
        }
        for (int k = 0; k < STAND_BY_DESCRIPTORS; k++)
            close(descriptor[k]);
        if (copy < 0 || waitpid(copy, &status, 0) != copy ||
            write(STAND_BY_SOCKET, &status, sizeof status) != (ssize_t)sizeof status)
            abort();
    }
    _exit(0);
}

int __libc_start_main(Main *program, int argc, char **argv, void (*init)(void), void (*fini)(void),
                      void (*dynamic_fini)(void), void *stack_end);
int __libc_start_main(Main *program, int argc, char **argv, void (*init)(void), void (*fini)(void),
                      void (*dynamic_fini)(void), void *stack_end)
{
    typedef int Start(Main *, int, char **, void (*)(void), void (*)(void), void (*)(void), void *);
    Start *start;
    *(void **)&start = dlsym(RTLD_NEXT, "__libc_start_main");
    if (start == NULL)
        abort();
    of_program = program;
    return start(stand_by, argc, argv, init, fini, dynamic_fini, stack_end);
}
