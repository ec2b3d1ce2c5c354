/** A setting that cannot be used. The message is one line: name, what was given, what is right. */
export class SettingsError extends Error {
  override readonly name = 'SettingsError';
}
