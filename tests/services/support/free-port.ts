import { createServer, connect } from 'node:net';

/**
 * Below what a system hands out by itself (from 32 768 on with Linux, from 49 152 on elsewhere): a broker that is away for a while must find its
 * port again. Each process that runs beside others takes from a part of its own.
 */
const lowestPort = 12_000;
const portsEach = 1250;
const parts = 16;
const firstPort = lowestPort + ((Number(process.env['VITEST_POOL_ID'] ?? 1) - 1) % parts) * portsEach;
/** Begins anywhere, for another run may be under way on this machine. */
let next = Math.floor(Math.random() * portsEach);

/** A TCP port on loopback that nobody listens on, and that this process has not given before. */
export async function freePort(): Promise<number> {
  for (let tried = 0; tried < portsEach; tried += 1) {
    next = (next + 1) % portsEach;
    // Kept here, for others may ask meanwhile.
    const port = firstPort + next;
    if (await isFree(port)) return port;
  }
  throw new Error(`no port is free from ${firstPort} to ${firstPort + portsEach - 1}`);
}

/** On every address of this machine, for some listen on all of them. */
function isFree(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const server = createServer();
    server.once('error', () => resolve(false));
    server.listen(port, () => server.close(() => resolve(true)));
  });
}

/** Resolves when something accepts connections on the port. */
export async function portOpen(port: number, timeoutMs = 60_000): Promise<void> {
  const deadline = Date.now() + timeoutMs;
  for (;;) {
    const open = await new Promise<boolean>((resolve) => {
      const socket = connect(port, '127.0.0.1');
      socket.once('connect', () => resolve((socket.destroy(), true)));
      socket.once('error', () => resolve(false));
    });
    if (open) return;
    if (Date.now() > deadline) throw new Error(`nothing listens on 127.0.0.1:${port} after ${timeoutMs} ms`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}
