/** One sample of a family. */
export interface MetricSample {
  readonly name: string;
  readonly labels: Readonly<Record<string, string>>;
  readonly value: number;
}

export interface MetricFamily {
  readonly name: string;
  readonly type: string;
  readonly unit: string;
  readonly help: string;
  readonly samples: readonly MetricSample[];
}

/** Suffixes of the samples of a family of each type (OpenMetrics 1.0, "Metric types"). */
const suffixes: Readonly<Record<string, readonly string[]>> = {
  unknown: [''],
  gauge: [''],
  counter: ['_total', '_created'],
  stateset: [''],
  info: ['_info'],
  histogram: ['_bucket', '_count', '_sum', '_created'],
  gaugehistogram: ['_bucket', '_gcount', '_gsum'],
  summary: ['', '_count', '_sum', '_created'],
};

const nameText = '[a-zA-Z_:][a-zA-Z0-9_:]*';
const labelText = `[a-zA-Z_][a-zA-Z0-9_]*="(?:[^"\\\\\\n]|\\\\["\\\\n])*"`;
const numberText = '[+-]?(?:Inf|NaN|\\d+(?:\\.\\d*)?(?:[eE][+-]?\\d+)?|\\.\\d+(?:[eE][+-]?\\d+)?)';
const sampleLine = new RegExp(
  `^(${nameText})(?:\\{((?:${labelText}(?:,${labelText})*)?)\\})? (${numberText})(?: ${numberText})?$`,
);
const metadataLine = new RegExp(`^# (HELP|TYPE|UNIT) (${nameText}) (.+)$`);

/**
 * Reads OpenMetrics text as strictly as OpenMetrics 1.0 asks for (specification of the OpenMetrics project, sections "Text
 * format", "Metric types" and "Overall structure"), as far as the service uses it: no exemplars.
 * @throws Error that names the line and what is wrong with it.
 */
export function readOpenMetrics(text: string): ReadonlyMap<string, MetricFamily> {
  if (!text.endsWith('# EOF\n')) throw new Error('the text does not end with "# EOF" and a line end');
  const families = new Map<string, MetricFamily & { samples: MetricSample[] }>();
  let present:
    { name: string; type: string; unit: string; help: string; samples: MetricSample[] } | undefined;
  const seen = new Set<string>();
  for (const line of text.slice(0, -'# EOF\n'.length).split('\n').slice(0, -1)) {
    const fail = (what: string): never => {
      throw new Error(`${line}: ${what}`);
    };
    const metadata = metadataLine.exec(line);
    if (metadata !== null) {
      const [, kind = '', name = '', value = ''] = metadata;
      if (present?.name !== name) {
        if (families.has(name)) fail('the family stands in two places');
        present = { name, type: '', unit: '', help: '', samples: [] };
        families.set(name, present);
      }
      if (present.samples.length > 0) fail('metadata after samples');
      const key = kind.toLowerCase() as 'help' | 'type' | 'unit';
      if (present[key] !== '') fail('said twice');
      present[key] = value;
      if (key === 'type' && suffixes[value] === undefined) fail('no such type');
      if (key === 'unit' && !name.endsWith(`_${value}`)) fail('the unit is not the end of the name');
      if (key === 'help' && /\\(?![\\n"])/.test(value)) fail('a backslash that escapes nothing');
      continue;
    }
    if (present === undefined) throw new Error(`${line}: no family yet`);
    const sample = sampleLine.exec(line);
    if (sample === null) throw new Error(`${line}: neither metadata nor a sample`);
    const [, name = '', labelList = '', number = ''] = sample;
    const suffix = name.startsWith(present.name) ? name.slice(present.name.length) : undefined;
    if (suffix === undefined || !(suffixes[present.type] ?? []).includes(suffix))
      fail(`not a name of the ${present.type} ${present.name}`);
    const labels = labelsOf(labelList);
    const identity = `${name}{${JSON.stringify(Object.entries(labels).sort())}}`;
    if (seen.has(identity)) fail('the sample stands twice');
    seen.add(identity);
    present.samples.push({ name, labels, value: valueOf(number) });
  }
  for (const family of families.values()) check(family);
  return families;
}

function labelsOf(list: string): Record<string, string> {
  const labels: Record<string, string> = {};
  for (const [, name = '', value = ''] of list.matchAll(/([a-zA-Z_]\w*)="((?:[^"\\]|\\.)*)"/g)) {
    if (name in labels) throw new Error(`${list}: the label ${name} stands twice`);
    labels[name] = value.replace(/\\(.)/g, (_escape, letter: string) => (letter === 'n' ? '\n' : letter));
  }
  return labels;
}

function valueOf(text: string): number {
  if (/Inf$/.test(text)) return text.startsWith('-') ? -Infinity : Infinity;
  return Number(text);
}

function check({ name, type, help, samples }: MetricFamily): void {
  const fail = (what: string): never => {
    throw new Error(`${name}: ${what}`);
  };
  if (type === '') fail('no type');
  if (help === '') fail('no help');
  for (const sample of samples) {
    if (type === 'counter' && !(sample.value >= 0)) fail('a counter below 0');
    if (type === 'info' && sample.value !== 1) fail('an info that is not 1');
    if (type === 'stateset' && (sample.labels[name] === undefined || ![0, 1].includes(sample.value)))
      fail('a state set without its label, or neither 0 nor 1');
    if (type === 'summary' && sample.name === name && !('quantile' in sample.labels)) fail('no quantile');
  }
  if (type === 'histogram') checkBuckets(samples, fail);
}

function checkBuckets(samples: readonly MetricSample[], fail: (what: string) => never): void {
  const buckets = samples.filter(({ name }) => name.endsWith('_bucket'));
  const bounds = buckets.map(({ labels }) => valueOf(labels['le'] ?? 'NaN'));
  if (bounds.at(-1) !== Infinity) fail('no +Inf bucket at the end');
  if (!buckets.every(({ labels }) => /[.eIN]/.test(labels['le'] ?? ''))) fail('a bound that is no float');
  for (let n = 1; n < buckets.length; n += 1) {
    if (!((bounds[n] ?? NaN) > (bounds[n - 1] ?? NaN))) fail('bounds that do not rise');
    if ((buckets[n]?.value ?? 0) < (buckets[n - 1]?.value ?? 0)) fail('buckets that are not cumulative');
  }
  const count = samples.find(({ name }) => name.endsWith('_count'))?.value;
  if (count !== buckets.at(-1)?.value) fail('a count that is not that of the last bucket');
  if (samples.find(({ name }) => name.endsWith('_sum')) === undefined) fail('no sum');
}
