import type { SeriesId } from './series-store.js';

/**
 * One text per series, different for different series whatever characters their ids hold: the two closed vocabularies come first,
 * the free texts carry their lengths.
 */
export function seriesKey(id: Omit<SeriesId, 'measurement'> & { readonly measurement: string }): string {
  const { winderId, stationId } = id;
  return `${id.measurement} ${id.end} ${winderId.length} ${stationId.length} ${winderId}${stationId}${id.field}`;
}
