import type { SessionBody } from '@edge-margin/monitoring';
import { Body, Controller, Delete, Get, HttpCode, Inject, Post, Put, Req, Res } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Request, Response } from 'express';
import { z } from 'zod';
import { jsonOf, refusals, requestOf } from '../http/api-docs.js';
import { parseWith } from '../http/parse-with.js';
import { ProblemException } from '../http/problem.js';
import { DOOR } from '../tokens.js';
import { AllowsAnybody, AllowsSignedIn, StartsSession } from './allows.js';
import type { AuditWord } from './audit-log.js';
import type { Door } from './door.js';
import { refuseInClear } from './refuse-in-clear.js';
import { refusedProof } from './refused-proof.js';
import { sessionBody } from './session-body.js';
import { setSessionCookie } from './session-cookie.js';
import type { Session } from './sessions.js';
import { givenName, givenSecret, newPasswordError, newPin } from './texts.js';
import { visitorOf } from './visitor.js';

const signInRequest = z.strictObject({ name: givenName, password: givenSecret });
const ownPasswordRequest = z.strictObject({ password: givenSecret, newPassword: givenSecret });
const ownPinRequest = z.strictObject({ password: givenSecret, newPin: newPin.nullable() });

@ApiTags('door')
@Controller('api/session')
export class SessionController {
  readonly #door: Door;

  constructor(@Inject(DOOR) door: Door) {
    this.#door = door;
  }

  @Get()
  @AllowsAnybody()
  @ApiOperation({ summary: 'Who is signed in, and what may be done now' })
  @ApiOkResponse(jsonOf('SessionBody'))
  session(@Req() request: Request): SessionBody {
    const { principal } = visitorOf(request);
    return sessionBody(this.#door, principal.kind === 'person' ? principal.session : undefined);
  }

  @Post()
  @HttpCode(200)
  @StartsSession()
  @ApiOperation({ summary: 'Signs in' })
  @ApiBody(requestOf('SignInRequest'))
  @ApiOkResponse(jsonOf('SessionBody'))
  @refusals(400, 401, 403, 429)
  async signIn(
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
    @Body() body: unknown,
  ): Promise<SessionBody> {
    const { peer, principal } = visitorOf(request);
    refuseInClear(peer);
    const { name, password } = parseWith(signInRequest, body);
    const from = peer.address;
    const proof = await this.#door.proofs.prove({
      name,
      secret: password,
      address: from,
      accepts: 'password',
    });
    if (!proof.ok) {
      this.#door.audit.note({ what: 'sign-in-refused', subject: proof.name, from, detail: proof.because });
      throw refusedProof(proof, '/password', 'name and password do not belong together');
    }
    if (principal.kind === 'person') this.#door.sessions.end(principal.session.idHash);
    this.#door.audit.note({ what: 'sign-in', actor: proof.person.name, from });
    return this.#start(proof.person.id, request, response);
  }

  @Delete()
  @AllowsAnybody()
  @ApiOperation({ summary: 'Signs out' })
  @ApiOkResponse(jsonOf('SessionBody'))
  @refusals(403)
  signOut(@Req() request: Request, @Res({ passthrough: true }) response: Response): SessionBody {
    const { principal, peer } = visitorOf(request);
    if (principal.kind === 'person') {
      this.#door.sessions.end(principal.session.idHash);
      this.#door.audit.note({ what: 'sign-out', actor: principal.session.person.name, from: peer.address });
    }
    setSessionCookie(response, peer, null);
    return sessionBody(this.#door, undefined);
  }

  @Put('password')
  @AllowsSignedIn()
  @ApiOperation({ summary: "Changes one's own password; ends one's other sessions" })
  @ApiBody(requestOf('OwnPasswordRequest'))
  @ApiOkResponse(jsonOf('SessionBody'))
  @refusals(400, 401, 403, 429)
  async changePassword(
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
    @Body() body: unknown,
  ): Promise<SessionBody> {
    const { password, newPassword } = parseWith(ownPasswordRequest, body);
    const { person } = this.#own(request);
    const error = newPasswordError(newPassword, person.name, '/newPassword');
    if (error !== undefined) throw new ProblemException(400, `newPassword: ${error.detail}`, [error]);
    await this.#prove(request, password, 'password-change-refused');
    await this.#door.people.setPassword(person.id, newPassword);
    this.#door.sessions.endAllOf(person.id);
    this.#note(request, 'password-changed');
    return this.#start(person.id, request, response);
  }

  @Put('pin')
  @AllowsSignedIn()
  @ApiOperation({
    summary: "Sets or takes away one's own PIN, which confirms single actions at a shared screen",
  })
  @ApiBody(requestOf('OwnPinRequest'))
  @ApiOkResponse(jsonOf('SessionBody'))
  @refusals(400, 401, 403, 429)
  async changePin(@Req() request: Request, @Body() body: unknown): Promise<SessionBody> {
    const { password, newPin: pin } = parseWith(ownPinRequest, body);
    const session = this.#own(request);
    await this.#prove(request, password, 'pin-change-refused');
    await this.#door.people.setPin(session.person.id, pin);
    this.#note(request, 'pin-changed', pin === null ? 'taken away' : 'set');
    return sessionBody(this.#door, session);
  }

  #own(request: Request): Session {
    const { principal } = visitorOf(request);
    if (principal.kind !== 'person') throw new Error('only who is signed in comes here');
    return principal.session;
  }

  async #prove(request: Request, password: string, refused: AuditWord): Promise<void> {
    const { name } = this.#own(request).person;
    const { address } = visitorOf(request).peer;
    const proof = await this.#door.proofs.prove({ name, secret: password, address, accepts: 'password' });
    if (proof.ok) return;
    this.#door.audit.note({ what: refused, subject: name, from: address, detail: proof.because });
    throw refusedProof(proof, '/password', 'not the present password', 400);
  }

  #note(request: Request, what: AuditWord, detail?: string): void {
    const { name } = this.#own(request).person;
    const from = visitorOf(request).peer.address;
    this.#door.audit.note({
      what,
      actor: name,
      subject: name,
      from,
      ...(detail === undefined ? {} : { detail }),
    });
  }

  #start(personId: string, request: Request, response: Response): SessionBody {
    const id = this.#door.sessions.start(personId);
    setSessionCookie(response, visitorOf(request).peer, id);
    return sessionBody(this.#door, this.#door.sessions.find(id));
  }
}
