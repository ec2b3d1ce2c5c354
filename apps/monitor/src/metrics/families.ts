import { type Metric, type OpenMetricsContentType, Registry } from 'prom-client';

/** One family of metrics: its samples are made when somebody asks. */
export interface Family {
  /** With its unit as the last word where it has one, without the suffix of its kind. */
  readonly name: string;
  readonly help: string;
  readonly kind: 'gauge' | 'counter' | 'histogram' | 'summary' | 'info' | 'stateset';
  readonly samples: () => readonly FamilySample[];
}

export interface FamilySample {
  /** What follows the family's name: `_bucket`, `_sum`, `_count`, `_info`. That of a counter comes by itself. */
  readonly suffix?: string;
  readonly labels?: Readonly<Record<string, string>>;
  readonly value: number;
}

/** Base units that the names of families end with (OpenMetrics 1.0, "Units and base units"). */
const units = ['seconds', 'bytes', 'ratio'] as const;

export const contentType: string = Registry.OPENMETRICS_CONTENT_TYPE;

/** The families as text (OpenMetrics 1.0). The library writes the lines; what it leaves out is the unit of each family. */
export async function openMetricsText(families: readonly Family[]): Promise<string> {
  const registry = new Registry<OpenMetricsContentType>();
  registry.setContentType(Registry.OPENMETRICS_CONTENT_TYPE);
  for (const family of families) registry.registerMetric(metricOf(family));
  return withUnits(await registry.metrics());
}

function metricOf({ name, help, kind, samples }: Family): Metric {
  const values = (): object[] =>
    samples().map(({ suffix = '', labels = {}, value }) => ({ metricName: name + suffix, labels, value }));
  const get = (): Promise<object> =>
    Promise.resolve({ name, help, type: kind, aggregator: 'sum', values: values() });
  return { name, help, type: kind, get } as unknown as Metric;
}

function withUnits(text: string): string {
  return text.replace(/^# TYPE (\S+) \S+$/gm, (line, name: string) => {
    const unit = units.find((one) => name.endsWith(`_${one}`));
    return unit === undefined ? line : `${line}\n# UNIT ${name} ${unit}`;
  });
}
