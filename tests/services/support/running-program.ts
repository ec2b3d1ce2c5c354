import { type ChildProcess, spawn } from 'node:child_process';

/** A program started for a test, with what it printed. */
export interface RunningProgram {
  readonly output: () => string;
  readonly exited: Promise<number | null>;
  readonly end: (signal: 'SIGTERM' | 'SIGKILL' | 'SIGINT') => Promise<number | null>;
}

export function runProgram(
  path: string,
  args: readonly string[],
  env: Record<string, string> = {},
): RunningProgram {
  const child: ChildProcess = spawn(path, args, {
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  const keep = (chunk: Buffer): void => {
    output = (output + chunk.toString()).slice(-200_000);
  };
  child.stdout?.on('data', keep);
  child.stderr?.on('data', keep);
  const exited = new Promise<number | null>((resolve) => child.once('exit', (code) => resolve(code)));
  child.once('error', (error) => keep(Buffer.from(String(error))));
  return {
    output: () => output,
    exited,
    end: (signal) => {
      if (child.exitCode === null && child.signalCode === null) child.kill(signal);
      return exited;
    },
  };
}
