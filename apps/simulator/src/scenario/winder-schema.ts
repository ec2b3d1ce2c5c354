import { z } from 'zod';
import { idField } from './fields.js';
import { lineSchema } from './line-schema.js';
import { stationSchema } from './station-schema.js';

const written = z.strictObject({
  id: idField,
  line: lineSchema.describe('Left out: every station runs on its own').optional(),
  stations: z.array(stationSchema).min(1).max(30),
});

/** A winder; every station gets the programme by which it runs, its own or that of the line. */
export const winderSchema = written.transform((winder, context) => {
  const stations = winder.stations.map((station, i) => {
    const programme = winder.line?.programme ?? station.programme;
    const isTwice = winder.line !== undefined && station.programme !== undefined;
    if (programme !== undefined && !isTwice) return { ...station, programme };
    const message = isTwice ? 'the line has one already: leave this out' : 'needed, here or at a line';
    context.issues.push({ code: 'custom', message, path: ['stations', i, 'programme'], input: station });
    return z.NEVER;
  });
  return { ...winder, stations };
});
