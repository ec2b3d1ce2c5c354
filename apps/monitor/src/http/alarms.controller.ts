import type { AcknowledgeBody, AlarmJournalBody, AlarmsBody } from '@edge-margin/monitoring';
import { Body, Controller, Get, HttpCode, Inject, Param, Post, Query, Req } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation, ApiParam, ApiQuery, ApiTags } from '@nestjs/swagger';
import type { Request } from 'express';
import { z } from 'zod';
import { Allows, AllowsActing } from '../door/allows.js';
import { actorOf } from '../door/principal.js';
import { comment } from '../door/texts.js';
import { visitorOf } from '../door/visitor.js';
import { type Present } from '../monitoring/present.js';
import { COMMANDS, PRESENT, RECORDS } from '../tokens.js';
import { jsonOf, refusals, requestOf } from './api-docs.js';
import type { Commands } from './commands.js';
import { parseWith } from './parse-with.js';
import { ProblemException } from './problem.js';
import type { Records } from './records.js';
import { timeRangeQuery } from './time-range-query.js';

const acknowledgeRequest = z.strictObject({
  occurrenceId: z.string('the id of the occurrence to acknowledge').min(1).max(300),
  comment: comment.optional(),
  // Who acts was proved by the guard.
  acting: z.unknown().optional(),
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
  @Allows('view')
  @ApiOperation({
    summary: 'Alarms that are active or not acknowledged, in the order in which they were raised',
  })
  @ApiOkResponse(jsonOf('AlarmsBody'))
  open(): AlarmsBody {
    return { alarms: this.#present.alarms() };
  }

  @Get('journal')
  @Allows('view')
  @ApiOperation({ summary: 'Every transition of every alarm, newest first' })
  @ApiQuery({ name: 'from', required: false, schema: { type: 'integer' }, description: 'epoch ms' })
  @ApiQuery({ name: 'to', required: false, schema: { type: 'integer' }, description: 'epoch ms' })
  @ApiQuery({ name: 'limit', required: false, schema: { type: 'integer', maximum: 1000, default: 200 } })
  @ApiOkResponse(jsonOf('AlarmJournalBody'))
  @refusals(400)
  journal(@Query() query: unknown): AlarmJournalBody {
    const { from, to, limit } = parseWith(timeRangeQuery, query);
    return { transitions: this.#records.alarmTransitions({ fromMs: from, toMs: to, limit }) };
  }

  @Post(':alarmKey/acknowledge')
  @HttpCode(200)
  @AllowsActing('acknowledge-alarm')
  @ApiOperation({
    summary:
      'Acknowledges one occurrence of an alarm in the name of who is signed in, acts, or holds the key; repeating it changes nothing',
  })
  @ApiParam({ name: 'alarmKey', schema: { type: 'string' } })
  @ApiBody(requestOf('AcknowledgeRequest'))
  @ApiOkResponse(jsonOf('AcknowledgeBody'))
  @refusals(400, 404, 409)
  async acknowledge(
    @Req() request: Request,
    @Param('alarmKey') alarmKey: string,
    @Body() body: unknown,
  ): Promise<AcknowledgeBody> {
    const given = parseWith(acknowledgeRequest, body);
    const actor = actorOf(visitorOf(request).principal);
    if (actor === null) throw new Error('only who is known comes here');
    const answer = await this.#commands.submit(actor, {
      type: 'acknowledge-alarm',
      alarmKey,
      occurrenceId: given.occurrenceId,
      ...(given.comment === undefined ? {} : { comment: given.comment }),
    });
    if (answer.ok) return { alarm: answer.alarm };
    throw new ProblemException(answer.failure === 'not-found' ? 404 : 409, answer.because.text);
  }
}
