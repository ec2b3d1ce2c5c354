import { SettingsError } from './settings-error.js';

/** Reads the files that settings name. */
export type ReadFile = (path: string) => string;

/**
 * The text of a file that a setting names; undefined where it names none.
 * @throws SettingsError where the file cannot be read.
 */
export function textFrom(name: string, path: string | undefined, holds: string, readFile: ReadFile) {
  if (path === undefined) return undefined;
  try {
    return readFile(path);
  } catch (error) {
    throw new SettingsError(
      `${name}: "${path}" was given, but it cannot be read (${(error as Error).message}); a readable file that holds ${holds} is needed`,
    );
  }
}

/** A secret from its file, without the line end that editors leave. */
export function secretFrom(name: string, path: string | undefined, holds: string, readFile: ReadFile) {
  return textFrom(name, path, holds, readFile)?.replace(/\r?\n$/, '');
}
