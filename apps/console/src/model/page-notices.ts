import type { ConsoleState } from '../store/console-state.js';
import type { DoorState } from '../store/door.js';
import type { ClockWords } from './clock-words.js';
import { livenessWords } from './liveness.js';

export const noAdministratorWords =
  'There is no administrator yet. The service’s log holds the address at which the first one is made';
export const simulatedWords = 'Simulated winders: nothing here is a real machine';

/** Standing sentences above a page, most serious first. */
export function pageNotices(state: ConsoleState, door: DoorState, since: ClockWords): readonly string[] {
  const words = [endedWords(door), lostWords(state, since), brokerWords(state, since), nobodyWords(door)];
  return words.filter((sentence) => sentence !== null);
}

function endedWords({ ended }: DoorState): string | null {
  return ended ? 'Your session has ended: sign in again' : null;
}

function nobodyWords({ session }: DoorState): string | null {
  return session?.needsFirstAdministrator === true && session.openViewing ? noAdministratorWords : null;
}

/** True where any winder, or the whole service, runs on the built-in simulation. */
export function isSimulated({ service, winders }: ConsoleState): boolean {
  return service?.demo === true || (winders ?? []).some((winder) => winder.simulated);
}

function lostWords({ connection }: ConsoleState, since: ClockWords): string | null {
  if (connection.kind !== 'lost') return null;
  const words = livenessWords({ kind: 'no-connection', sinceMs: connection.sinceMs }, since);
  const sentence = words.charAt(0).toUpperCase() + words.slice(1);
  return connection.sinceMs === null
    ? `${sentence}: this page knows nothing`
    : `${sentence}: this page knows nothing after that`;
}

function brokerWords({ service, connection }: ConsoleState, since: ClockWords): string | null {
  if (service === null || connection.kind === 'lost') return null;
  const { state, sinceMs, detail } = service.broker;
  if (state === 'up') return detail === null ? null : `The connection to the broker stands, but: ${detail}`;
  return `No readings: the service has lost the broker since ${since(sinceMs)}${detail === null ? '' : `: ${detail}`}`;
}
