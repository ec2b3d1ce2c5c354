import { display, type DisplayKind, type DisplaySystem, type Reason, reason } from '@edge-margin/units';

/** `830 mm`, `620 m/min`: a figure with its unit in the plant's preferred units. */
export function figure(kind: DisplayKind, siValue: number, system: DisplaySystem): string {
  const { number, unit } = display(kind, siValue, system);
  return `${number} ${unit}`;
}

/** `02:31:05 UTC`: for texts that leave the service; pages show the same instant in the reader's own time zone. */
export function clockTime(atMs: number): string {
  return `${new Date(atMs).toISOString().slice(11, 19)} UTC`;
}

const signalWords: Readonly<Record<string, string>> = {
  nipLoad: 'nip load',
  nipLoadSwing: 'nip load swing',
  nipAcceleration: 'nip acceleration',
  coreRotation: 'core rotation',
  airTemperature: 'air temperature',
  airPressure: 'air pressure',
  airHumidity: 'air humidity',
  cylinderPressure: 'cylinder pressure',
  riderLoad: 'rider load',
  woundLength: 'wound length',
  setEndDiameter: 'set end diameter',
};

/** A signal's name as people say it, with its end where there are two: `nip load, drive side`. */
export function signalWord(signal: string, end: string): string {
  const word = signalWords[signal] ?? signal;
  return end === 'both' ? word : `${word}, ${end} side`;
}

/** No value of a signal has come yet. */
export function neverCame(signal: string, end: string): Reason {
  return reason('no-reading-yet', `no ${signalWord(signal, end)} has come yet`, { signal, end });
}

/** The last value of a signal is too old to go by. */
export function staleSince(signal: string, end: string, sinceMs: number): Reason {
  return reason('no-reading-since', `no ${signalWord(signal, end)} since ${clockTime(sinceMs)}`, {
    signal,
    end,
    sinceMs,
  });
}

/** The plant file says nothing about where a signal comes from. */
export function notMapped(signal: string, end: string): Reason {
  return reason('not-in-plant-file', `the plant file maps no ${signalWord(signal, end)} for this station`, {
    signal,
    end,
  });
}
