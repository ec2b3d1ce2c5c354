import type { GapsBody } from '@edge-margin/monitoring';
import { Controller, Get, Inject, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiQuery, ApiTags } from '@nestjs/swagger';
import { Allows } from '../door/allows.js';
import { RECORDS } from '../tokens.js';
import { jsonOf, refusals } from './api-docs.js';
import { gapBodyOf } from './gap-body.js';
import { parseWith } from './parse-with.js';
import type { Records } from './records.js';
import { timeRangeQuery } from './time-range-query.js';

@ApiTags('signals')
@Controller('api/gaps')
export class GapsController {
  readonly #records: Records;

  constructor(@Inject(RECORDS) records: Records) {
    this.#records = records;
  }

  @Get()
  @Allows('view')
  @ApiOperation({
    summary:
      'What is known to be missing, and why: messages that did not come, points that are not kept here or not in the long memory; by its end, newest first',
  })
  @ApiQuery({
    name: 'from',
    required: false,
    schema: { type: 'integer' },
    description: 'epoch ms; gaps that reach beyond it count',
  })
  @ApiQuery({
    name: 'to',
    required: false,
    schema: { type: 'integer' },
    description: 'epoch ms; gaps that begin before it count',
  })
  @ApiQuery({ name: 'limit', required: false, schema: { type: 'integer', maximum: 1000, default: 200 } })
  @ApiOkResponse(jsonOf('GapsBody'))
  @refusals(400)
  gaps(@Query() query: unknown): GapsBody {
    const { from, to, limit } = parseWith(timeRangeQuery, query);
    const found = this.#records.gaps({ fromMs: from, toMs: to, limit: limit + 1 });
    return { gaps: found.slice(0, limit).map(gapBodyOf), more: found.length > limit };
  }
}
