import { type Feed, feeds, mostFeeds } from './feeds.js';
import { groupBy } from './group-by.js';
import type { PlantParts, StationPart } from './plant-parts.js';
import { type Finding, error, pathText, warning } from './problem.js';
import type { Station } from './winder-schema.js';
import { type SignalName, signalKinds } from './signal-kinds.js';
import { topicsOverlap } from './topic-pattern.js';

/** Signals that reach a station twice or not at all, what cannot be watched because of it, and ranges unlike the machine's. */
export function checkCoverage(parts: PlantParts): readonly Finding[] {
  const all = feeds(parts);
  if (all === 'unclear') return [];
  if (all === 'too-many') {
    const expected = `at most ${mostFeeds} pairs of a signal and a station it may be meant for: what reaches which station is not checked`;
    return [warning(['sources'], 'more', expected)];
  }
  const byStation = groupBy(all, ({ to }) => to);
  const ofStations = parts.stations.flatMap((part) => {
    const own = byStation.get(part) ?? [];
    return [...twice(own), ...bothAndEnds(own), ...lacking(part, own, parts)];
  });
  return [...ofStations, ...[...groupBy(all, ({ part }) => part).values()].flatMap(rangeAndMachine)];
}

/** A second source for the same signal, station and end: an error where one message could be meant for both, else a warning. */
function twice(own: readonly Feed[]): readonly Finding[] {
  const groups = groupBy(own, ({ mapping, end }) => `${mapping.signal} ${end}`);
  return [...groups.values()].flatMap((group) =>
    group.flatMap((feed, index) => {
      const { part, mapping, to } = feed;
      const before = group.slice(0, index);
      const same = before.find(({ levels }) => topicsOverlap(levels, feed.levels, () => true));
      const other = same ?? (feed.certain ? before.find(({ certain }) => certain) : undefined);
      if (other === undefined) return [];
      const told = `one source of ${mapping.signal} for ${stationName(to)}; ${pathText(other.part.path)} is another`;
      const at = [...part.path, 'signal'];
      return same === undefined
        ? [warning(at, mapping.signal, told)]
        : [error(at, mapping.signal, `${told} that takes the same messages`)];
    }),
  );
}

function bothAndEnds(own: readonly Feed[]): readonly Finding[] {
  const named = own.filter(({ certain }) => certain);
  const split = new Set(named.filter(({ end }) => end !== 'both').map(({ mapping }) => mapping.signal));
  return named
    .filter(({ mapping, end }) => end === 'both' && split.has(mapping.signal))
    .map(({ part, mapping, to }) =>
      warning(
        [...part.path, 'end'],
        'both',
        `tending or drive, as ${mapping.signal} of ${stationName(to)} is told by end elsewhere`,
      ),
    );
}

const stationName = ({ id, winder }: StationPart): string => `${winder.id ?? '?'}/${id ?? '?'}`;

const airMargin = 'the air-entrainment margin';
const forecast = 'the boundary ahead';
const nipBounce = 'the nip-bounce indicator';

function lacking(part: StationPart, own: readonly Feed[], { grades }: PlantParts): readonly Finding[] {
  const { path, station } = part;
  if (station === undefined) return [];
  const mapped = new Set(own.map(({ mapping }) => mapping.signal));
  const missing = (signal: SignalName, unwatched: string): Finding =>
    warning(
      path,
      `no signal ${signal} for ${stationName(part)}`,
      `a source for ${signal}; without it nobody watches ${unwatched}`,
    );
  const findings: Finding[] = [];
  if (!mapped.has('speed')) findings.push(missing('speed', `${airMargin} and ${forecast}`));
  if (!mapped.has('tension')) findings.push(missing('tension', airMargin));
  if (station.diameterFrom === 'gauge' && !mapped.has('diameter')) {
    findings.push(missing('diameter', `${airMargin} and ${forecast}`));
  }
  const grade = grades.find(({ id }) => id === station.defaultGrade)?.grade;
  if (!mapped.has('setEndDiameter') && grade !== undefined && grade.setEndDiameterM === undefined) {
    findings.push(missing('setEndDiameter', `whether the roll stays clear to the end of its set`));
  }
  return [...findings, ...diameterSource(part, station, mapped), ...nipSignals(part, station, own, missing)];
}

function diameterSource(
  { path }: StationPart,
  { diameterFrom }: Station,
  mapped: ReadonlySet<SignalName>,
): readonly Finding[] {
  const at = [...path, 'diameterFrom'];
  if (diameterFrom === 'rotation' && !(mapped.has('coreRotation') && mapped.has('speed'))) {
    return [
      error(at, diameterFrom, 'sources for coreRotation and speed, as the diameter is taken from both'),
    ];
  }
  if (diameterFrom === 'length' && !mapped.has('woundLength') && !mapped.has('speed')) {
    return [error(at, diameterFrom, 'a source for woundLength or speed, as the diameter is taken from it')];
  }
  return [];
}

function nipSignals(
  { path }: StationPart,
  { nip }: Station,
  own: readonly Feed[],
  missing: (signal: SignalName, unwatched: string) => Finding,
): readonly Finding[] {
  const mapped = new Set(own.map(({ mapping }) => mapping.signal));
  if (nip === null) {
    // A topic that captures the station may serve stations with a nip as well; only what is meant for this one is wrong.
    return own
      .filter(
        ({ mapping, part }) =>
          mapping.signal.startsWith('nip') && (mapping.station ?? part.from.source?.station) !== undefined,
      )
      .map(({ part, mapping, to }) =>
        error([...part.path, 'signal'], mapping.signal, `a station with a nip; ${stationName(to)} has none`),
      );
  }
  const findings: Finding[] = [];
  if (!mapped.has('nipLoad')) findings.push(...nipLoadSource(nip, mapped, missing));
  if (!mapped.has('nipAcceleration') && !mapped.has('nipLoadSwing')) {
    findings.push(
      missing('nipAcceleration', 'nip bounce; nipLoadSwing instead tells the swing of the load only'),
    );
  }
  const named = own.filter(({ certain }) => certain);
  const served = (named.length > 0 ? named : own).some(({ mapping }) => mapping.signal === 'nipAcceleration');
  if (served && nip.effectiveMassPerEndKg === undefined) {
    findings.push(
      warning(
        [...path, 'nip'],
        'no effectiveMassPerEndKg',
        'the mass of roller and arms per end: without it the acceleration does not tell the way to contact loss',
      ),
    );
  }
  return findings;
}

/** Without a measured nip load: what it is reckoned from must come, or there is none. */
function nipLoadSource(
  { loadFrom }: NonNullable<Station['nip']>,
  mapped: ReadonlySet<SignalName>,
  missing: (signal: SignalName, unwatched: string) => Finding,
): readonly Finding[] {
  const unwatched = `${airMargin} under the nip and ${nipBounce}`;
  if (loadFrom === undefined) return [missing('nipLoad', unwatched)];
  return 'cylinders' in loadFrom && !mapped.has('cylinderPressure')
    ? [missing('cylinderPressure', unwatched)]
    : [];
}

/**
 * A mapping's plausible range against the machines it serves: it refuses what they all can reach, or it was probably written in the
 * payload's unit instead of SI.
 */
function rangeAndMachine(own: readonly Feed[]): readonly Finding[] {
  const [first] = own;
  const reaches = own.flatMap(({ mapping, to }) => reachOf(mapping.signal, to) ?? []);
  if (first?.mapping.plausible === undefined || reaches.length === 0) return [];
  const { max } = first.mapping.plausible;
  const { unit } = signalKinds[first.mapping.signal];
  const [least, most] = [Math.min(...reaches), Math.max(...reaches)];
  const at = [...first.part.path, 'plausible', 'max'];
  if (max < least) {
    return [
      warning(
        at,
        `${max}`,
        `at least ${least} ${unit}, which the machine may reach: readings above are not used`,
      ),
    ];
  }
  return max > most * 10
    ? [warning(at, `${max}`, `a range in ${unit}, the SI unit, near the machine's highest, ${most} ${unit}`)]
    : [];
}

function reachOf(signal: SignalName, { winder: { machine } }: StationPart): number | undefined {
  switch (signal) {
    case 'speed':
      return machine?.speedMPerS.max;
    case 'tension':
      return machine?.tensionNPerM.max;
    case 'nipLoad':
      return machine?.nipLoadNPerM?.max;
    case 'diameter':
      return machine?.diameterM.max;
    default:
      return undefined;
  }
}
