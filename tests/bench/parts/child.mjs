import { spawn } from 'node:child_process';
import { waitFor } from './wait.mjs';

const patienceMs = 15_000;

/** A Node program as a process of its own: what it says line by line, and its end. */
export function startProgram(args, env = {}) {
  const child = spawn(process.execPath, args, {
    env: { ...process.env, ...env },
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  let output = '';
  let exit;
  child.stdout.on('data', (chunk) => (output += chunk));
  const ended = new Promise((resolve) =>
    child.once('exit', (code, signal) => resolve((exit = code ?? signal))),
  );
  return {
    pid: child.pid,
    output: () => output,
    ended,
    /** Waits until it has said a word. */
    said: (word, withinMs) =>
      waitFor(
        () => {
          if (exit !== undefined)
            throw new Error(`${args.at(-1)} ended with ${exit} before it said "${word}"`);
          return output.includes(word);
        },
        `"${word}" from ${args[0]}`,
        withinMs,
      ),
    ask: (line) => child.stdin.write(`${line}\n`),
    kill: (signal) => child.kill(signal),
    /** Asks it to end, and makes it end where it does not. */
    stop: async () => {
      if (exit !== undefined) return;
      child.kill('SIGTERM');
      const hard = setTimeout(() => child.kill('SIGKILL'), patienceMs);
      await ended;
      clearTimeout(hard);
    },
  };
}
