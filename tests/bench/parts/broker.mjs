import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createConnection, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { waitFor } from './wait.mjs';

/** A Mosquitto of our own on a free port of this machine, set up as the files in `deploy` are. */
export async function startBroker() {
  const port = await freePort();
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-bench-broker-'));
  const file = join(directory, 'mosquitto.conf');
  writeFileSync(
    file,
    `listener ${port} 127.0.0.1\nallow_anonymous true\nmax_inflight_messages 100\nmax_queued_messages 1000000\nset_tcp_nodelay true\n`,
  );
  const child = spawn(process.env.MOSQUITTO_PATH ?? '/usr/sbin/mosquitto', ['-c', file], { stdio: 'ignore' });
  const ended = new Promise((resolve) => child.once('exit', resolve));
  await waitFor(() => accepts(port), 'the broker to listen');
  return {
    url: `mqtt://127.0.0.1:${port}`,
    stop: async () => {
      child.kill();
      await ended;
      rmSync(directory, { recursive: true, force: true });
    },
  };
}

export function freePort() {
  return new Promise((resolve) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port } = probe.address();
      probe.close(() => resolve(port));
    });
  });
}

function accepts(port) {
  return new Promise((resolve) => {
    const socket = createConnection({ host: '127.0.0.1', port });
    socket.once('connect', () => resolve(true) || socket.destroy());
    socket.once('error', () => resolve(false));
  });
}
