import type { AuditBody } from '@edge-margin/monitoring';
import { Controller, Get, Inject, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiQuery, ApiTags } from '@nestjs/swagger';
import { jsonOf, refusals } from '../http/api-docs.js';
import { parseWith } from '../http/parse-with.js';
import { timeRangeQuery } from '../http/time-range-query.js';
import { DOOR } from '../tokens.js';
import { Allows } from './allows.js';
import type { Door } from './door.js';

@ApiTags('door')
@Controller('api/audit')
export class AuditController {
  readonly #door: Door;

  constructor(@Inject(DOOR) door: Door) {
    this.#door = door;
  }

  @Get()
  @Allows('view-audit')
  @ApiOperation({
    summary:
      'Every sign-in, sign-out, change of people and keys, and action at a shared screen, newest first',
  })
  @ApiQuery({ name: 'from', required: false, schema: { type: 'integer' }, description: 'epoch ms' })
  @ApiQuery({ name: 'to', required: false, schema: { type: 'integer' }, description: 'epoch ms' })
  @ApiQuery({ name: 'limit', required: false, schema: { type: 'integer', maximum: 1000, default: 200 } })
  @ApiOkResponse(jsonOf('AuditBody'))
  @refusals(400)
  entries(@Query() query: unknown): AuditBody {
    const { from, to, limit } = parseWith(timeRangeQuery, query);
    return { entries: this.#door.auditEntries({ fromMs: from, toMs: to, limit }) };
  }
}
