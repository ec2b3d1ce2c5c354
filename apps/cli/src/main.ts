import { assess } from './assess.js';
import { backup } from './backup.js';
import { check } from './check.js';
import { nodeIo } from './node-io.js';
import { restore } from './restore.js';
import { runCommand } from './run-command.js';

// A reader that stops early (`| head`) is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

process.exitCode = await runCommand([assess, check, backup, restore], process.argv.slice(2), nodeIo);
