import type { AuditBody, AuditEntry } from '@edge-margin/monitoring';
import { Controller, Get, Inject, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiQuery, ApiTags } from '@nestjs/swagger';
import { z } from 'zod';
import { jsonOf, refusals } from '../http/api-docs.js';
import { parseWith } from '../http/parse-with.js';
import { timeRangeQuery } from '../http/time-range-query.js';
import { DOOR } from '../tokens.js';
import { Allows } from './allows.js';
import type { Door } from './door.js';

/** An entry's place as one page gives it and the next one takes it: time, id. */
const place = z
  .string()
  .regex(/^\d{1,15}-\d{1,15}$/, 'what `olderBefore` of the answer before says')
  .transform((text) => {
    const [atMs = 0, id = 0] = text.split('-').map(Number);
    return { atMs, id };
  });
const auditQuery = timeRangeQuery.extend({ before: place.optional() });

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
  @ApiQuery({
    name: 'before',
    required: false,
    schema: { type: 'string', pattern: '^\\d{1,15}-\\d{1,15}$' },
    description: '`olderBefore` of an answer: the entries that come after it, on the next page',
  })
  @ApiOkResponse(jsonOf('AuditBody'))
  @refusals(400)
  entries(@Query() query: unknown): AuditBody {
    const { from, to, limit, before } = parseWith(auditQuery, query);
    const range = { fromMs: from, toMs: to, ...(before === undefined ? {} : { before }) };
    const found = this.#door.auditEntries({ ...range, limit: limit + 1 });
    const entries = found.slice(0, limit);
    return { entries, olderBefore: found.length > limit ? placeOf(entries.at(-1)) : null };
  }
}

function placeOf(entry: AuditEntry | undefined): string | null {
  return entry === undefined ? null : `${entry.atMs}-${entry.id}`;
}
