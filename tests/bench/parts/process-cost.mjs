// What a process has cost so far, threads included, from the kernel's own account (Linux): the same as `process.cpuUsage()` in it, but from
// outside and by thread.
import { readdirSync, readFileSync } from 'node:fs';

/** Run time of every thread that is alive, us, by `name/id`. */
export function threadsUs(pid) {
  const threads = {};
  for (const id of readdirSync(`/proc/${pid}/task`)) {
    const name = readFileSync(`/proc/${pid}/task/${id}/comm`, 'utf8').trim();
    const [ranNs] = readFileSync(`/proc/${pid}/task/${id}/schedstat`, 'utf8').split(' ');
    threads[`${name}/${id}`] = Number(ranNs) / 1000;
  }
  return threads;
}

/** Run time of the process, all its threads together, us. None of those we watch ends a thread while it is watched. */
export function cpuUs(pid) {
  return Object.values(threadsUs(pid)).reduce((sum, us) => sum + us, 0);
}

export function residentBytes(pid) {
  return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))[1]) * 1024;
}
