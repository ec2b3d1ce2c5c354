import type { SessionBody } from '@edge-margin/monitoring';
import { Body, Controller, HttpCode, Inject, Post, Req, Res } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Request, Response } from 'express';
import { z } from 'zod';
import { jsonOf, refusals, requestOf } from '../http/api-docs.js';
import { parseWith } from '../http/parse-with.js';
import { ProblemException } from '../http/problem.js';
import { DOOR } from '../tokens.js';
import { StartsSession } from './allows.js';
import type { Door } from './door.js';
import { peopleProblem } from './people-problem.js';
import { refuseInClear } from './refuse-in-clear.js';
import { sessionBody } from './session-body.js';
import { setSessionCookie } from './session-cookie.js';
import { givenSecret, newName, newPasswordError } from './texts.js';
import { visitorOf } from './visitor.js';

const firstAdministratorRequest = z.strictObject({
  word: z
    .string('the word of the link in the log is right')
    .max(100, 'the word of the link in the log is right'),
  name: newName,
  password: givenSecret,
});

@ApiTags('door')
@Controller('api/first-administrator')
export class FirstAdministratorController {
  readonly #door: Door;

  constructor(@Inject(DOOR) door: Door) {
    this.#door = door;
  }

  @Post()
  @HttpCode(200)
  @StartsSession()
  @ApiOperation({
    summary: 'Makes the first administrator, with the one-time word from the log, and signs them in',
  })
  @ApiBody(requestOf('FirstAdministratorRequest'))
  @ApiOkResponse(jsonOf('SessionBody'))
  @refusals(400, 403, 409)
  async make(
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
    @Body() body: unknown,
  ): Promise<SessionBody> {
    const { peer } = visitorOf(request);
    refuseInClear(peer);
    const { word, name, password } = parseWith(firstAdministratorRequest, body);
    if (this.#door.people.hasAdministrator())
      throw new ProblemException(409, 'there is an administrator already; they can make other people');
    if (!this.#door.firstWord.isRight(word)) {
      this.#door.audit.note({ what: 'first-administrator-refused', from: peer.address });
      const detail = 'not the word of the present start of the service; the newest link in its log is right';
      throw new ProblemException(403, `word: ${detail}`, [{ pointer: '/word', detail }]);
    }
    const error = newPasswordError(password, name, '/password');
    if (error !== undefined) throw new ProblemException(400, `password: ${error.detail}`, [error]);
    if (this.#door.people.hasName(name)) throw peopleProblem('name-taken', name);
    this.#door.firstWord.use();
    const added = await this.#door.people.add({ name, role: 'administrator', password });
    if (!added.ok) throw peopleProblem(added.because, name);
    const from = peer.address;
    this.#door.audit.note({ what: 'first-administrator', actor: name, subject: name, from });
    const id = this.#door.sessions.start(added.person.id);
    setSessionCookie(response, peer, id);
    return sessionBody(this.#door, this.#door.sessions.find(id));
  }
}
