/** `unreachable`: no answer, or an answer that may be better next time; `misconfigured`: somebody must act first; `refused`: never. */
export type InfluxErrorCode = 'unreachable' | 'misconfigured' | 'refused';

/** InfluxDB did not do what was asked. */
export class InfluxError extends Error {
  readonly code: InfluxErrorCode;

  constructor(code: InfluxErrorCode, message: string, cause?: unknown) {
    super(message, { cause });
    this.name = 'InfluxError';
    this.code = code;
  }
}
