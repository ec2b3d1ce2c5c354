/** What a command may do to the world outside it: read standard input or a file, and write. */
export interface CommandIo {
  readonly stdin: () => Promise<string>;
  readonly stdout: (text: string) => void;
  readonly stderr: (text: string) => void;
  /** @throws whatever the file system says (`ENOENT`, `EACCES`, ...); `main` turns it into one line and exit code 2. */
  readonly readFile: (path: string) => Promise<string>;
}

/** One command of the command line. */
export interface Command {
  readonly name: string;
  /** One line for the list of commands. */
  readonly summary: string;
  /**
   * Runs the command.
   * @param args what stands after the command's name.
   * @returns the exit code: 0 fine, 1 the answer is no, 2 the call itself was wrong.
   */
  readonly run: (args: readonly string[], io: CommandIo) => Promise<number>;
}
