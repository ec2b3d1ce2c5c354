import type { AlarmView } from '@edge-margin/alarms';
import type { Route } from '../routing/route.js';
import { actNext } from './act-next.js';
import { floorRow, stationName } from './floor-words.js';
import { stateSentence, stateWords } from './state-words.js';
import type { StationContext } from './station-context.js';

const titles: Readonly<Partial<Record<Route['page'], string>>> = {
  people: 'People',
  keys: 'Keys for machines',
  audit: 'Audit',
  service: 'The service’s own health',
  account: 'Own password and PIN',
  'first-administrator': 'First administrator',
};

/** The browser's tab tells the finding: `Winder 5: wraps free to move from 830 mm`, `Act next: 2, 5`. */
export function pageTitle(
  route: Route,
  context: StationContext | null,
  contexts: readonly StationContext[],
  serviceAlarms: readonly AlarmView[] = [],
): string {
  if (context !== null) return `${stationName(context)}: ${stateSentence(stateWords(context))}`;
  if (route.page === 'alarms')
    return `Alarms: ${contexts.flatMap(({ station }) => station.alarms).length + serviceAlarms.length} open`;
  if (route.page !== 'all-winders') return titles[route.page] ?? 'Winders';
  const { act } = actNext(contexts.map(floorRow));
  return act.length === 0 ? 'All winders' : `Act next: ${act.map((row) => row.mark).join(', ')}`;
}
