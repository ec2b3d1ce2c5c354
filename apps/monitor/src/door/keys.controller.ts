import type { KeysBody, NewKeyBody } from '@edge-margin/monitoring';
import { Body, Controller, Delete, Get, HttpCode, Inject, Param, Post, Req } from '@nestjs/common';
import {
  ApiBody,
  ApiCreatedResponse,
  ApiNoContentResponse,
  ApiOkResponse,
  ApiOperation,
  ApiParam,
  ApiTags,
} from '@nestjs/swagger';
import type { Request } from 'express';
import { z } from 'zod';
import { jsonOf, refusals, requestOf } from '../http/api-docs.js';
import { parseWith } from '../http/parse-with.js';
import { ProblemException } from '../http/problem.js';
import { DOOR } from '../tokens.js';
import { Allows } from './allows.js';
import type { Door } from './door.js';
import { actorOf } from './principal.js';
import { keyScope, newName, shown } from './texts.js';
import { visitorOf } from './visitor.js';

const validDays = 'a whole number of days from 1 to 366 is right';
const newKeyRequest = z.strictObject({
  label: newName,
  actions: keyScope,
  validDays: z.int(validDays).min(1, validDays).max(366, validDays),
});

@ApiTags('door')
@Controller('api/keys')
export class KeysController {
  readonly #door: Door;

  constructor(@Inject(DOOR) door: Door) {
    this.#door = door;
  }

  @Get()
  @Allows('manage-keys')
  @ApiOperation({ summary: 'The keys of machines, newest first' })
  @ApiOkResponse(jsonOf('KeysBody'))
  all(): KeysBody {
    return { keys: this.#door.keys.all() };
  }

  @Post()
  @Allows('manage-keys')
  @ApiOperation({ summary: 'Makes a key; the answer is the only time that it is shown' })
  @ApiBody(requestOf('NewKeyRequest'))
  @ApiCreatedResponse(jsonOf('NewKeyBody'))
  @refusals(400, 409)
  make(@Req() request: Request, @Body() body: unknown): NewKeyBody {
    const given = parseWith(newKeyRequest, body);
    if (this.#door.keys.hasLabel(given.label) || this.#door.people.hasName(given.label)) {
      const detail = `${shown(given.label)} was given; a label that no other key and nobody has is right`;
      throw new ProblemException(409, `label: ${detail}`, [{ pointer: '/label', detail }]);
    }
    const made = this.#door.keys.make(given);
    this.#note(request, 'key-made', given.label, `${given.actions.join(', ')}; ${given.validDays} days`);
    return made;
  }

  @Delete(':id')
  @HttpCode(204)
  @Allows('manage-keys')
  @ApiOperation({ summary: 'Ends a key at once' })
  @ApiParam({ name: 'id', schema: { type: 'string' } })
  @ApiNoContentResponse({ description: 'Ended' })
  @refusals(404)
  end(@Req() request: Request, @Param('id') id: string): void {
    const ended = this.#door.keys.end(id);
    if (ended === undefined)
      throw new ProblemException(404, `key: ${shown(id)} was given; there is no such key`);
    this.#note(request, 'key-ended', ended.label);
  }

  #note(request: Request, what: 'key-made' | 'key-ended', subject: string, detail?: string): void {
    const { principal, peer } = visitorOf(request);
    const actor = actorOf(principal);
    this.#door.audit.note({
      what,
      actor,
      subject,
      from: peer.address,
      ...(detail === undefined ? {} : { detail }),
    });
  }
}
