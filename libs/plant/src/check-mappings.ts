import { lookUpUnit, units } from '@edge-margin/units';
import { captures } from './check-sources.js';
import type { MappingPart, PlantParts } from './plant-parts.js';
import { type Finding, type Path, error, valueText, warning } from './problem.js';
import type { SignalMapping } from './source-schema.js';
import { type SignalName, signalKinds } from './signal-kinds.js';

/** Signals whose unit, end, scale or range does not fit what they are. */
export function checkMappings({ mappings }: PlantParts): readonly Finding[] {
  return mappings.flatMap((part) => {
    const { mapping, path } = part;
    if (mapping === undefined) return [];
    if (signalKinds[mapping.signal].value === 'text') return checkText(path, mapping);
    return [
      ...checkUnit(path, mapping),
      ...checkEnds(part, mapping),
      ...checkRange(path, mapping),
      ...checkPeriod(path, mapping),
    ];
  });
}

/** Signals named for an error text: `speed, diameter`. */
const signalsWith = (property: 'perEnd' | 'perWidth'): string =>
  Object.entries(signalKinds)
    .filter(([, kind]) => kind[property])
    .map(([name]) => name)
    .join(' or ');

function checkText(path: Path, mapping: SignalMapping): readonly Finding[] {
  const numeric = {
    unit: mapping.unit !== '',
    factor: mapping.factor !== 1,
    offset: mapping.offset !== 0,
    sign: mapping.sign !== 1,
    total: mapping.total,
    plausible: mapping.plausible !== undefined,
    uncertainty: mapping.uncertainty !== 0,
    uncertaintyRatio: mapping.uncertaintyRatio !== 0,
    end: mapping.end !== 'both',
  };
  return Object.entries(numeric)
    .filter(([, given]) => given)
    .map(([key]) =>
      error(
        [...path, key],
        valueText(mapping[key as keyof SignalMapping]),
        `no ${key}, as ${mapping.signal} is text`,
      ),
    );
}

function checkUnit(path: Path, { signal, unit, total }: SignalMapping): readonly Finding[] {
  const at = [...path, 'unit'];
  const kind = signalKinds[signal];
  const si = lookUpUnit(kind.unit);
  if (unit === '' || !si.ok) return [];
  const wanted = total && kind.perWidth ? 'force' : si.unit.dimension;
  const fitting = [...units.values()].filter(({ dimension }) => dimension === wanted).map(({ code }) => code);
  const found = lookUpUnit(unit);
  if (!found.ok) {
    const hint =
      found.nearest === undefined ? `one of ${fitting.join(', ')}` : `the nearest is ${found.nearest}`;
    return [error(at, valueText(unit), `a UCUM code that is supported; ${hint}`)];
  }
  if (found.unit.dimension === wanted) return [];
  const hint =
    kind.perWidth && !total && found.unit.dimension === 'force'
      ? '; or total: true, if it is the force over the whole width'
      : '';
  const what = `${signal}${total ? ' in total' : ''}`;
  return [error(at, valueText(unit), `a unit of ${wanted} for ${what}: ${fitting.join(', ')}${hint}`)];
}

function checkEnds({ path, from }: MappingPart, mapping: SignalMapping): readonly Finding[] {
  const { signal, end, total } = mapping;
  const kind = signalKinds[signal];
  const captured = from.source !== undefined && captures(from.source, 'end');
  const findings: Finding[] = [];
  if (end !== 'both' && !kind.perEnd) {
    findings.push(
      error(
        [...path, 'end'],
        end,
        `no end, as ${signal} has none; only ${signalsWith('perEnd')} may be given per end`,
      ),
    );
  }
  if (captured && !kind.perEnd) {
    findings.push(
      error(
        [...path, 'signal'],
        signal,
        `${signalsWith('perEnd')} under a topic with {end}; ${signal} has no ends ({any} passes over a level)`,
      ),
    );
  }
  if (captured && end !== 'both') {
    findings.push(error([...path, 'end'], end, 'no end here, as the topic captures it'));
  }
  if (total && !kind.perWidth) {
    findings.push(
      error(
        [...path, 'total'],
        'true',
        `false, as ${signal} is no quantity per width; only ${signalsWith('perWidth')} may be given in total`,
      ),
    );
  }
  if (total && kind.perEnd && (captured || end !== 'both') && mapping.factor === 1) {
    findings.push(
      warning(
        [...path, 'total'],
        'true',
        `factor: 2 beside it, if each end carries about half of the total: the value is divided by the whole width`,
      ),
    );
  }
  return findings;
}

function checkRange(path: Path, { signal, plausible }: SignalMapping): readonly Finding[] {
  if (plausible === undefined || plausible.min < plausible.max) return [];
  return [
    error(
      [...path, 'plausible', 'min'],
      `${plausible.min}`,
      `less than max, ${plausible.max} ${siUnit(signal)}`,
    ),
  ];
}

/** Signals that come as long as the machine runs; the others may come only when they change. */
const continuous: ReadonlySet<SignalName> = new Set<SignalName>([
  'speed',
  'diameter',
  'tension',
  'nipLoad',
  'nipLoadSwing',
  'nipAcceleration',
  'coreRotation',
  'woundLength',
]);

function checkPeriod(path: Path, { signal, expectedPeriodS }: SignalMapping): readonly Finding[] {
  return expectedPeriodS === undefined && continuous.has(signal)
    ? [
        warning(
          path,
          `no expectedPeriodS for ${signal}`,
          'the seconds between two readings: without it a sensor that falls silent is never noticed',
        ),
      ]
    : [];
}

const siUnit = (signal: SignalName): string => signalKinds[signal].unit;
