import { readFile } from 'node:fs/promises';
import { buffer } from 'node:stream/consumers';
import type { CommandIo } from './command.js';

/** The process's own standard streams and the file system. Text is UTF-8; anything else is refused rather than guessed at. */
export const nodeIo: CommandIo = {
  stdin: async () => utf8(await buffer(process.stdin)),
  stdout: (text) => void process.stdout.write(text),
  stderr: (text) => void process.stderr.write(text),
  readFile: async (path) => {
    try {
      return utf8(await readFile(path));
    } catch (thrown) {
      // The decoder and a read of a directory do not say which file it was.
      throw thrown instanceof Error ? Object.assign(thrown, { path }) : thrown;
    }
  },
};

const utf8 = (bytes: Uint8Array): string => new TextDecoder('utf-8', { fatal: true }).decode(bytes);
