import { spawn } from 'node:child_process';
import type { Logger } from 'pino';

/** The simulator as a process of its own: it reaches the service over MQTT only, as a real winder would. */
export interface SimulatorProcess {
  readonly stop: () => Promise<void>;
}

export function startSimulator(options: {
  readonly program: string;
  readonly scenario: string;
  readonly brokerUrl: string;
  readonly log: Logger;
}): SimulatorProcess {
  const { log } = options;
  const child = spawn(
    process.execPath,
    [options.program, '--scenario', options.scenario, '--mqtt', options.brokerUrl],
    {
      stdio: ['ignore', 'ignore', 'pipe'],
    },
  );
  child.stderr.on('data', (chunk: Buffer) =>
    log.warn({ simulator: chunk.toString().trimEnd() }, 'simulator says'),
  );
  const exited = new Promise<void>((resolve) => {
    child.once('exit', (code, signal) => {
      if (code !== 0 && signal === null)
        log.error({ code }, 'the simulator ended; no more readings will come');
      resolve();
    });
    child.once('error', (error) => {
      log.error({ err: error }, 'the simulator could not be started');
      resolve();
    });
  });
  return {
    stop: () => {
      if (child.exitCode === null && child.signalCode === null) child.kill('SIGTERM');
      return exited;
    },
  };
}
