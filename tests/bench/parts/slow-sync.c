/* A disk that takes its time: every fsync and fdatasync of the process waits for SLOW_SYNC_MS first, then does its work. For LD_PRELOAD. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <time.h>

static void wait_for_the_disk(void) {
  const char *ms = getenv("SLOW_SYNC_MS");
  long duration = ms ? strtol(ms, NULL, 10) : 0;
  struct timespec pause = {duration / 1000, (duration % 1000) * 1000000L};
  nanosleep(&pause, NULL);
}

int fsync(int descriptor) {
  int (*next)(int) = (int (*)(int))dlsym(RTLD_NEXT, "fsync");
  wait_for_the_disk();
  return next(descriptor);
}

int fdatasync(int descriptor) {
  int (*next)(int) = (int (*)(int))dlsym(RTLD_NEXT, "fdatasync");
  wait_for_the_disk();
  return next(descriptor);
}
