import type { End, SignalName } from '@edge-margin/plant';
import type { Reason } from '@edge-margin/units';

/** One value of one signal at one station, in SI, ready to be applied. */
export interface Reading {
  readonly stationKey: string;
  readonly signal: SignalName;
  readonly end: End;
  /** Event time, epoch ms: the source's time stamp, less the source's clock offset where that is known to run ahead. */
  readonly atMs: number;
  readonly arrivedAtMs: number;
  /** True where the message carried no time and the time of arrival stands in. */
  readonly timeFromArrival: boolean;
  /** Number in the SI unit of the signal, or text for a text signal. */
  readonly value: number | string;
  /** Standard uncertainty in the same unit; 0 for text. */
  readonly uncertainty: number;
  /** From a retained message: the broker's last value, perhaps old. */
  readonly retained: boolean;
}

/** A message, or one value in it, that could not be used: data, never an exception. */
export interface ReadingNotUsed {
  readonly because: Reason;
  readonly topic: string;
  readonly arrivedAtMs: number;
  readonly atMs?: number;
  readonly stationKey?: string;
  readonly signal?: SignalName;
  /** The start of the payload as text, at most 200 characters, control characters made visible. */
  readonly sample: string;
}
