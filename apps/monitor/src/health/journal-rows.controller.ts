import type { JournalRowsBody } from '@edge-margin/monitoring';
import { Controller, Get, Inject, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiQuery, ApiTags } from '@nestjs/swagger';
import { z } from 'zod';
import { Allows } from '../door/allows.js';
import { jsonOf, refusals } from '../http/api-docs.js';
import { parseWith } from '../http/parse-with.js';
import type { Records } from '../http/records.js';
import type { Runtime } from '../runtime.js';
import { RECORDS, RUNTIME } from '../tokens.js';
import { journalRows } from './journal-rows.js';

const mostRows = 200;
const rowsQuery = z.strictObject({
  from: z
    .string()
    .regex(/^\d{1,15}$/, 'a position: a whole number from 1')
    .transform(Number)
    .optional(),
  limit: z
    .string()
    .regex(/^\d{1,3}$/, `a whole number from 1 to ${mostRows}`)
    .transform(Number)
    .pipe(z.number().min(1, 'at least 1').max(mostRows, `at most ${mostRows}`))
    .default(50),
});

@ApiTags('health')
@Controller('api/journal-rows')
export class JournalRowsController {
  readonly #journal: Runtime['journal'];
  readonly #records: Records;
  readonly #decoder = new TextDecoder('utf-8', { fatal: true });

  constructor(@Inject(RUNTIME) runtime: Runtime, @Inject(RECORDS) records: Records) {
    this.#journal = runtime.journal;
    this.#records = records;
  }

  @Get()
  @Allows('view-service-health')
  @ApiOperation({
    summary:
      'Rows of the journal from a position on: the way from an alarm to its message, and from a message to what it brought about',
  })
  @ApiQuery({
    name: 'from',
    required: false,
    schema: { type: 'integer' },
    description: 'position of the first row; the last rows if left out',
  })
  @ApiQuery({
    name: 'limit',
    required: false,
    schema: { type: 'integer', minimum: 1, maximum: mostRows, default: 50 },
  })
  @ApiOkResponse(jsonOf('JournalRowsBody'))
  @refusals(400)
  rows(@Query() query: unknown): JournalRowsBody {
    const { from, limit } = parseWith(rowsQuery, query);
    return journalRows(
      {
        journal: this.#journal,
        alarmTransitions: this.#records.alarmTransitions,
        decode: (bytes) => this.#decoder.decode(bytes),
      },
      from,
      limit,
    );
  }
}
