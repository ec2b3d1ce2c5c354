import type { SeriesBody, WinderBody, WindersBody, WinderView } from '@edge-margin/monitoring';
import { leastMaxPoints, type SeriesId, type Trend } from '@edge-margin/series';
import { Controller, Get, Inject, Param, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiParam, ApiQuery, ApiTags } from '@nestjs/swagger';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { z } from 'zod';
import { Allows } from '../door/allows.js';
import { type Present } from '../monitoring/present.js';
import { PRESENT, RECORDS, SERVICE_STATE } from '../tokens.js';
import { jsonOf, refusals } from './api-docs.js';
import { gapBodyOf } from './gap-body.js';
import { parseWith } from './parse-with.js';
import { ProblemException } from './problem.js';
import type { Records } from './records.js';
import type { ServiceState } from './service-state.js';

/** Gaps told of in one answer, the newest. */
const mostGaps = 100;
const fieldPattern = /^(reading|assessment):([A-Za-z][A-Za-z0-9]{0,63})(?:@(tending|drive|both))?$/;
const instant = z
  .string()
  .regex(/^\d{1,15}$/, 'an instant in epoch milliseconds')
  .transform(Number);
const seriesQuery = z.strictObject({
  station: z.string().min(1, 'the id of a station of this winder'),
  field: z
    .union([z.string(), z.array(z.string())])
    .transform((field) => (typeof field === 'string' ? [field] : field))
    .pipe(
      z
        .array(
          z
            .string()
            .regex(fieldPattern, 'measurement:field or measurement:field@end, e.g. reading:nipLoad@drive'),
        )
        .min(1)
        .max(32, 'at most 32 fields'),
    ),
  from: instant.optional(),
  to: instant.optional(),
  maxPoints: z
    .string()
    .regex(/^\d{1,5}$/, 'a whole number from 6 to 10000')
    .transform(Number)
    .pipe(z.number().min(leastMaxPoints, `at least ${leastMaxPoints}`).max(10_000, 'at most 10000'))
    .default(1000),
});

@ApiTags('winders')
@Controller('api/winders')
export class WindersController {
  readonly #present: Present;
  readonly #records: Records;
  readonly #service: ServiceState;

  constructor(
    @Inject(PRESENT) present: Present,
    @Inject(RECORDS) records: Records,
    @Inject(SERVICE_STATE) service: ServiceState,
  ) {
    this.#present = present;
    this.#records = records;
    this.#service = service;
  }

  @Get()
  @Allows('view')
  @ApiOperation({
    summary:
      'Every winder with its stations, their latest assessment and alarms, in the order of the plant file',
  })
  @ApiOkResponse(jsonOf('WindersBody'))
  all(): WindersBody {
    return { winders: this.#present.winders(), service: this.#service.view() };
  }

  @Get(':winderId')
  @Allows('view')
  @ApiOperation({ summary: 'One winder' })
  @ApiParam({ name: 'winderId', schema: { type: 'string' } })
  @ApiOkResponse(jsonOf('WinderBody'))
  @refusals(404)
  one(@Param('winderId') winderId: string): WinderBody {
    return { winder: this.#winder(winderId), service: this.#service.view() };
  }

  @Get(':winderId/series')
  @Allows('view')
  @ApiOperation({
    summary:
      'Measured and derived series of one station: raw points or roll-ups, from here or from the long memory, thinned to the points that keep their shape',
  })
  @ApiParam({ name: 'winderId', schema: { type: 'string' } })
  @ApiQuery({ name: 'station', schema: { type: 'string' } })
  @ApiQuery({
    name: 'field',
    schema: { type: 'array', items: { type: 'string', pattern: fieldPattern.source } },
    description: 'measurement:field or measurement:field@end',
  })
  @ApiQuery({
    name: 'from',
    required: false,
    schema: { type: 'integer' },
    description: 'epoch ms, included; one hour before `to` if left out',
  })
  @ApiQuery({
    name: 'to',
    required: false,
    schema: { type: 'integer' },
    description: 'epoch ms, not included; now if left out',
  })
  @ApiQuery({
    name: 'maxPoints',
    required: false,
    schema: { type: 'integer', minimum: leastMaxPoints, maximum: 10_000, default: 1000 },
  })
  @ApiOkResponse(jsonOf('SeriesBody'))
  @refusals(400, 404)
  async series(@Param('winderId') winderId: string, @Query() query: unknown): Promise<SeriesBody> {
    const winder = this.#winder(winderId);
    const asked = parseWith(seriesQuery, query);
    if (!winder.stations.some((station) => station.id === asked.station)) {
      throw new ProblemException(
        404,
        `station: "${asked.station}" was given; the stations of ${winderId} are ${winder.stations.map((s) => s.id).join(', ')}`,
      );
    }
    const toMs = asked.to ?? this.#service.view().nowMs + 60_000;
    const fromMs = asked.from ?? toMs - 3_600_000;
    if (fromMs >= toMs)
      throw new ProblemException(400, `from: ${fromMs} was given; an instant before to (${toMs}) is right`);
    const trends: Promise<Trend>[] = [];
    for (const field of asked.field) {
      if (trends.length > 0) await nextTurn(); // reading from the local store holds up everything else
      const id = seriesIdOf(field, winderId, asked.station);
      const trend = this.#records.trend({ id, fromMs, toMs, maxPoints: asked.maxPoints });
      trend.catch(() => undefined); // met below, with the others
      trends.push(trend);
    }
    const found = await Promise.all(trends);
    const series = asked.field.flatMap((field, index) => {
      const trend = found[index];
      return trend === undefined ? [] : [seriesBodyOf(field, trend)];
    });
    const gaps = this.#records.gaps({ fromMs, toMs, limit: mostGaps });
    return { series, gaps: gaps.map(gapBodyOf).reverse() };
  }

  #winder(winderId: string): WinderView {
    const winder = this.#present.winder(winderId);
    if (winder !== undefined) return winder;
    const ids = this.#present.winders().map(({ id }) => id);
    throw new ProblemException(404, `winder: "${winderId}" was given; the plant file has ${ids.join(', ')}`);
  }
}

/** A body for `[atMs, value]` numbers; text has no place in a trend. */
function seriesBodyOf(field: string, trend: Trend): SeriesBody['series'][number] {
  const { points, band, ...rest } = trend;
  return {
    field,
    ...rest,
    points: points.filter((point): point is [number, number] => typeof point[1] === 'number'),
    band: band.map(({ startMs, low, high, mean }) => [startMs, low, high, mean] as const),
  };
}

function seriesIdOf(field: string, winderId: string, stationId: string): SeriesId {
  const [, measurement, name, end] = fieldPattern.exec(field) ?? [];
  return {
    measurement: measurement as SeriesId['measurement'],
    winderId,
    stationId,
    field: name ?? '',
    end: (end ?? 'both') as SeriesId['end'],
  };
}
