import type { AcknowledgeBody, AlarmJournalBody, AlarmsBody } from '@edge-margin/monitoring';
import { Body, Controller, Get, HttpCode, Inject, Param, Post, Query } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation, ApiParam, ApiQuery, ApiTags } from '@nestjs/swagger';
import { z } from 'zod';
import { type Present } from '../monitoring/present.js';
import { COMMANDS, PRESENT, RECORDS } from '../tokens.js';
import { jsonOf, refusals, requestOf } from './api-docs.js';
import type { Commands } from './commands.js';
import { parseWith } from './parse-with.js';
import { ProblemException } from './problem.js';
import type { Records } from './records.js';

const acknowledgeRequest = z.strictObject({
  occurrenceId: z.string('the id of the occurrence to acknowledge').min(1).max(300),
  actor: z
    .string('the name of the person who acknowledges')
    .trim()
    .min(1, 'the name of the person who acknowledges')
    .max(80, 'at most 80 characters'),
  comment: z.string().max(500, 'at most 500 characters').optional(),
});
const whole = (most: number) =>
  z
    .string()
    .regex(/^\d{1,15}$/, 'a whole number')
    .transform(Number)
    .pipe(z.number().max(most, `at most ${most}`));
const journalQuery = z.strictObject({
  from: whole(Number.MAX_SAFE_INTEGER).default(0),
  to: whole(Number.MAX_SAFE_INTEGER).default(Number.MAX_SAFE_INTEGER),
  limit: whole(1000).default(200),
});

@ApiTags('alarms')
@Controller('api/alarms')
export class AlarmsController {
  readonly #present: Present;
  readonly #records: Records;
  readonly #commands: Commands;

  constructor(
    @Inject(PRESENT) present: Present,
    @Inject(RECORDS) records: Records,
    @Inject(COMMANDS) commands: Commands,
  ) {
    this.#present = present;
    this.#records = records;
    this.#commands = commands;
  }

  @Get()
  @ApiOperation({
    summary: 'Alarms that are active or not acknowledged, in the order in which they were raised',
  })
  @ApiOkResponse(jsonOf('AlarmsBody'))
  open(): AlarmsBody {
    return { alarms: this.#present.alarms() };
  }

  @Get('journal')
  @ApiOperation({ summary: 'Every transition of every alarm, newest first' })
  @ApiQuery({ name: 'from', required: false, schema: { type: 'integer' }, description: 'epoch ms' })
  @ApiQuery({ name: 'to', required: false, schema: { type: 'integer' }, description: 'epoch ms' })
  @ApiQuery({ name: 'limit', required: false, schema: { type: 'integer', maximum: 1000, default: 200 } })
  @ApiOkResponse(jsonOf('AlarmJournalBody'))
  @refusals(400)
  journal(@Query() query: unknown): AlarmJournalBody {
    const { from, to, limit } = parseWith(journalQuery, query);
    return { transitions: this.#records.alarmTransitions({ fromMs: from, toMs: to, limit }) };
  }

  @Post(':alarmKey/acknowledge')
  @HttpCode(200)
  @ApiOperation({ summary: 'Acknowledges one occurrence of an alarm; repeating it changes nothing' })
  @ApiParam({ name: 'alarmKey', schema: { type: 'string' } })
  @ApiBody(requestOf('AcknowledgeRequest'))
  @ApiOkResponse(jsonOf('AcknowledgeBody'))
  @refusals(400, 404, 409)
  async acknowledge(@Param('alarmKey') alarmKey: string, @Body() body: unknown): Promise<AcknowledgeBody> {
    const { actor, occurrenceId, comment } = parseWith(acknowledgeRequest, body);
    const answer = await this.#commands.submit(actor, {
      type: 'acknowledge-alarm',
      alarmKey,
      occurrenceId,
      ...(comment === undefined ? {} : { comment }),
    });
    if (answer.ok) return { alarm: answer.alarm };
    throw new ProblemException(answer.failure === 'not-found' ? 404 : 409, answer.because.text);
  }
}
