import type { SeriesId, SeriesSample } from '@edge-margin/series';
import type { Connection } from './connection.js';
import { createSeriesById, type NumberedSeries } from './series-by-id.js';

/** The short numbers that stand for series in the sample table. */
export interface SeriesNumbers {
  readonly find: (id: SeriesId) => NumberedSeries | undefined;
  readonly byNumber: (number: number) => NumberedSeries | undefined;
  /** The series of the sample, made if it is new. Within a transaction. */
  readonly ofSample: (sample: SeriesSample) => NumberedSeries;
  readonly all: () => Iterable<NumberedSeries>;
}

/** Keeps every series in memory (the plant file bounds their count) and reads them again after a rollback. */
export function createSeriesNumbers(connection: Connection): SeriesNumbers {
  const byId = createSeriesById();
  const byNumber = new Map<number, NumberedSeries>();
  const keep = (series: NumberedSeries): NumberedSeries => {
    byId.set(series);
    byNumber.set(series.number, series);
    return series;
  };
  const read = (): void => {
    byId.clear();
    byNumber.clear();
    for (const row of connection.prepare('SELECT * FROM series').all() as SeriesRow[]) keep(seriesOf(row));
  };
  read();
  connection.onRollback(read);
  const insert = connection.prepare(
    'INSERT INTO series (measurement, winder_id, station_id, end, field, has_text) VALUES (?, ?, ?, ?, ?, ?)',
  );
  const markText = connection.prepare('UPDATE series SET has_text = 1 WHERE id = ?');
  const add = ({ measurement, winderId, stationId, end, field, value }: SeriesSample): NumberedSeries => {
    const hasText = typeof value === 'string';
    const { lastInsertRowid } = insert.run(measurement, winderId, stationId, end, field, Number(hasText));
    return keep({
      number: Number(lastInsertRowid),
      id: { measurement, winderId, stationId, end, field },
      hasText,
    });
  };
  return {
    find: byId.get,
    byNumber: (number) => byNumber.get(number),
    all: () => byNumber.values(),
    ofSample: (sample) => {
      const known = byId.get(sample) ?? add(sample);
      if (known.hasText || typeof sample.value === 'number') return known;
      markText.run(known.number);
      return keep({ ...known, hasText: true });
    },
  };
}

interface SeriesRow {
  readonly id: number;
  readonly measurement: SeriesId['measurement'];
  readonly winder_id: string;
  readonly station_id: string;
  readonly end: SeriesId['end'];
  readonly field: string;
  readonly has_text: number;
}

function seriesOf(row: SeriesRow): NumberedSeries {
  const { id: number, measurement, winder_id: winderId, station_id: stationId, end, field } = row;
  return { number, id: { measurement, winderId, stationId, end, field }, hasText: row.has_text === 1 };
}
