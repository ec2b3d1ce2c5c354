import type { Command, CommandIo } from './command.js';

/**
 * Finds the command that the first word names and runs it on the rest.
 * @param words what stands on the command line after the program's name.
 * @returns the exit code; 2 where no command is named or known, or a file or standard input cannot be read.
 */
export async function runCommand(
  commands: readonly Command[],
  words: readonly string[],
  io: CommandIo,
): Promise<number> {
  const [name, ...args] = words;
  if (name === 'help' || name === '--help' || name === '-h') {
    io.stdout(help(commands));
    return 0;
  }
  const command = commands.find((candidate) => candidate.name === name);
  if (command === undefined) {
    io.stderr(
      `${name === undefined ? 'a command is needed' : `no command ${JSON.stringify(name)}`}\n${help(commands)}`,
    );
    return 2;
  }
  try {
    return await command.run(args, io);
  } catch (thrown) {
    const why = unreadable(thrown);
    // Anything else is a fault of the program and keeps its stack.
    if (why === undefined) throw thrown;
    io.stderr(`${why}\n`);
    return 2;
  }
}

function help(commands: readonly Command[]): string {
  const lines = commands.map(({ name, summary }) => `  ${name.padEnd(8)} ${summary}`);
  return ['usage: npm run --silent cli -- COMMAND ...', ...lines, ''].join('\n');
}

const reasons: Readonly<Record<string, string>> = {
  ENOENT: 'no such file',
  EACCES: 'not allowed to read',
  EPERM: 'not allowed to read',
  EISDIR: 'a directory, not a file',
  ENOTDIR: 'no such file',
  ENAMETOOLONG: 'no such file',
  ERR_ENCODING_INVALID_ENCODED_DATA: 'not UTF-8 text',
};

/** What the file system or the decoder says of an input, in words; undefined for any other fault. */
function unreadable(thrown: unknown): string | undefined {
  if (!(thrown instanceof Error) || !('code' in thrown) || typeof thrown.code !== 'string') return undefined;
  const reason = reasons[thrown.code];
  if (reason === undefined) return undefined;
  return 'path' in thrown && typeof thrown.path === 'string'
    ? `${thrown.path}: ${reason}`
    : `input: ${reason}`;
}
