import type { StationAssessment } from '@edge-margin/monitoring';
import type { Quantity, Reason } from '@edge-margin/units';
import { reasonWords } from './reason-words.js';
import type { StationContext } from './station-context.js';

/** One mechanism's share in hand, or why there is none. */
export type InHandRow = { readonly name: 'air' | 'nip'; readonly words: string; readonly note: string } & (
  | { readonly kind: 'known'; readonly value: number; readonly uncertainty: number }
  /** Watched, but nothing is known now: hatched. */
  | { readonly kind: 'no-data' }
  /** Nobody watches it here: dashed. */
  | { readonly kind: 'not-watched' }
  /** There is nothing to watch: words only. */
  | { readonly kind: 'none' }
);

/** A station and how a reason is said on its page. */
interface Saying extends StationContext {
  readonly say: (because: Reason) => string;
}

export function inHandRows(context: StationContext): readonly InHandRow[] {
  const noRoll = context.liveness.kind === 'live' && context.station.assessment?.roll === null;
  if (noRoll)
    return (['air', 'nip'] as const).map((name) => ({ kind: 'none', name, words: 'no roll', note: '' }));
  const say = (because: Reason) => reasonWords(because, context.since, context.system);
  return [airRow({ ...context, say }), nipRow({ ...context, say })];
}

function airRow({ station, liveness, say }: Saying): InHandRow {
  const assessment = station.assessment;
  const name = 'air';
  if (liveness.kind !== 'live' || assessment === null)
    return { kind: 'no-data', name, words: 'not known', note: '' };
  // Why stands under "because" when nothing is nearer; five lines of it here would push the gauge away in an alarm of the nip.
  if (!assessment.air.applies) return { kind: 'none', name, words: 'no air problem', note: '' };
  const note = assessment.risk.meaning === 'rough-edge' ? '' : 'uncalibrated';
  return known(name, assessment.air.marginRatio, note, assessment, say);
}

function nipRow({ station, liveness, say }: Saying): InHandRow {
  const assessment = station.assessment;
  const name = 'nip';
  if (station.nip === null) return { kind: 'none', name, words: 'no nip on this roll', note: '' };
  if (liveness.kind !== 'live' || assessment === null)
    return { kind: 'no-data', name, words: 'not known', note: '' };
  if (!assessment.nip.watched)
    return {
      kind: 'not-watched',
      name,
      words: 'not watched',
      note: say(assessment.nip.because),
    };
  const note = assessment.risk.meaning === 'rough-edge' ? '' : 'uncalibrated';
  return known(name, assessment.nip.inHandRatio, note, assessment, say);
}

function known(
  name: InHandRow['name'],
  share: Quantity,
  note: string,
  { state }: StationAssessment,
  say: Saying['say'],
): InHandRow {
  if (share.kind === 'unknown') {
    // The head says the same already.
    const said = state.because.text.endsWith(share.because.text);
    return { kind: 'no-data', name, words: 'not known', note: said ? '' : say(share.because) };
  }
  return {
    kind: 'known',
    name,
    value: share.value,
    uncertainty: share.uncertainty,
    words: shareWords(share.value, share.uncertainty),
    note,
  };
}

/** `33 % ± 9`, with the standard uncertainty; a negative share is used up. */
export function shareWords(share: number, uncertainty: number): string {
  const percent = Math.round(share * 100);
  const spread = Math.round(uncertainty * 100);
  return `${String(percent === 0 ? 0 : percent).replace('-', '−')} %${spread > 0 ? ` ± ${spread}` : ''}`;
}
