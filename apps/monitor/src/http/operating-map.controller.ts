import { operatingMap } from '@edge-margin/air-film';
import { type Monitor, operatingPointOf, type OperatingMapBody } from '@edge-margin/monitoring';
import { Controller, Get, Inject, Param, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiParam, ApiQuery, ApiTags } from '@nestjs/swagger';
import { z } from 'zod';
import { Allows } from '../door/allows.js';
import { type Present } from '../monitoring/present.js';
import { MONITOR, PRESENT } from '../tokens.js';
import { jsonOf, refusals } from './api-docs.js';
import { parseWith } from './parse-with.js';
import { ProblemException } from './problem.js';

const mapQuery = z.strictObject({
  station: z.string('the id of a station of this winder').min(1),
  over: z.enum(['diameter', 'nipLoad', 'tension'], 'diameter, nipLoad or tension').default('diameter'),
  steps: z
    .string()
    .regex(/^\d{1,3}$/, 'a whole number from 2 to 100')
    .transform(Number)
    .pipe(z.number().min(2, 'at least 2').max(100, 'at most 100'))
    .default(40),
});

@ApiTags('air')
@Controller('api/winders')
export class OperatingMapController {
  readonly #present: Present;
  readonly #monitor: () => Monitor;

  constructor(@Inject(PRESENT) present: Present, @Inject(MONITOR) monitor: () => Monitor) {
    this.#present = present;
    this.#monitor = monitor;
  }

  @Get(':winderId/operating-map')
  @Allows('view')
  @ApiOperation({
    summary:
      'The margin over speed and one other quantity around where the station runs now, with the line where it is 0',
  })
  @ApiParam({ name: 'winderId', schema: { type: 'string' } })
  @ApiQuery({ name: 'station', schema: { type: 'string' } })
  @ApiQuery({
    name: 'over',
    required: false,
    schema: { type: 'string', enum: ['diameter', 'nipLoad', 'tension'], default: 'diameter' },
  })
  @ApiQuery({
    name: 'steps',
    required: false,
    schema: { type: 'integer', minimum: 2, maximum: 100, default: 40 },
  })
  @ApiOkResponse(jsonOf('OperatingMapBody'))
  @refusals(400, 404, 409)
  map(@Param('winderId') winderId: string, @Query() query: unknown): OperatingMapBody {
    const { over, station, steps } = parseWith(mapQuery, query);
    const model = this.#monitor().model?.stations.get(`${winderId}/${station}`);
    const assessment = this.#present.winder(winderId)?.stations.find(({ id }) => id === station)?.assessment;
    if (model === undefined)
      throw new ProblemException(
        404,
        `station: "${winderId}/${station}" was given; the plant file has no such station`,
      );
    if (assessment === null || assessment === undefined)
      throw new ProblemException(409, 'nothing has been assessed yet');
    const now = operatingPointOf(model, assessment);
    if (!now.ok) throw new ProblemException(409, `no operating point: ${now.because.text}`);
    const { limits } = model.context.winder;
    const { running, nip } = now.point;
    const axes = {
      diameter: {
        from: model.context.station.coreDiameterM,
        to: limits.diameterM.max,
        y: running.rollDiameterM,
      },
      nipLoad: {
        from: limits.nipLoadNPerM?.min ?? 0,
        to: limits.nipLoadNPerM?.max ?? 0,
        y: nip?.loadNPerM ?? 0,
      },
      tension: { from: limits.tensionNPerM.min, to: limits.tensionNPerM.max, y: running.tensionNPerM },
    };
    const { from, to, y } = axes[over];
    if (to <= from)
      throw new ProblemException(409, `over: ${over} was given, but the plant file gives no range for it`);
    const map = operatingMap({
      point: now.point,
      x: { quantity: 'speed', from: limits.speedMPerS.min, to: limits.speedMPerS.max, steps },
      y: { quantity: over, from, to, steps },
    });
    return { over, map, now: { speedMPerS: running.speedMPerS, y } };
  }
}
