import { may } from '@edge-margin/access';
import type { ActingNamesBody, PeopleBody, PersonBody } from '@edge-margin/monitoring';
import { Body, Controller, Get, Inject, Param, Patch, Post, Req } from '@nestjs/common';
import { ApiBody, ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiParam, ApiTags } from '@nestjs/swagger';
import type { Request } from 'express';
import { z } from 'zod';
import { jsonOf, refusals, requestOf } from '../http/api-docs.js';
import { parseWith } from '../http/parse-with.js';
import { ProblemException } from '../http/problem.js';
import { DOOR } from '../tokens.js';
import { Allows } from './allows.js';
import type { Door } from './door.js';
import { peopleProblem } from './people-problem.js';
import { actorOf } from './principal.js';
import { givenSecret, newName, newPasswordError, role } from './texts.js';
import { visitorOf } from './visitor.js';

const newPersonRequest = z.strictObject({ name: newName, role, password: givenSecret });
const personChangeRequest = z.strictObject({
  role: role.optional(),
  active: z.boolean('true or false is right').optional(),
  password: givenSecret.optional(),
});
type Change = z.output<typeof personChangeRequest>;

@ApiTags('door')
@Controller('api/people')
export class PeopleController {
  readonly #door: Door;

  constructor(@Inject(DOOR) door: Door) {
    this.#door = door;
  }

  @Get()
  @Allows('manage-people')
  @ApiOperation({ summary: 'Everybody who can, or could, sign in' })
  @ApiOkResponse(jsonOf('PeopleBody'))
  all(): PeopleBody {
    return { people: this.#door.people.all() };
  }

  @Get('names')
  @Allows('view')
  @ApiOperation({ summary: 'Names to choose from where a shared screen asks who acts' })
  @ApiOkResponse(jsonOf('ActingNamesBody'))
  names(): ActingNamesBody {
    const acting = this.#door.people
      .all()
      .filter(({ active, role: has }) => active && may(has, 'acknowledge-alarm'));
    return { names: acting.map(({ name }) => name) };
  }

  @Post()
  @Allows('manage-people')
  @ApiOperation({ summary: 'Makes a person' })
  @ApiBody(requestOf('NewPersonRequest'))
  @ApiCreatedResponse(jsonOf('PersonBody'))
  @refusals(400, 409)
  async add(@Req() request: Request, @Body() body: unknown): Promise<PersonBody> {
    const given = parseWith(newPersonRequest, body);
    refuseWeak(given.password, given.name);
    if (this.#door.keys.hasLabel(given.name)) throw peopleProblem('name-taken', given.name);
    const added = await this.#door.people.add(given);
    if (!added.ok) throw peopleProblem(added.because, given.name);
    this.#note(request, 'person-made', given.name, given.role);
    return { person: added.person };
  }

  @Patch(':id')
  @Allows('manage-people')
  @ApiOperation({ summary: 'Changes role, password or whether the person may come in; ends their sessions' })
  @ApiParam({ name: 'id', schema: { type: 'string' } })
  @ApiBody(requestOf('PersonChangeRequest'))
  @ApiOkResponse(jsonOf('PersonBody'))
  @refusals(400, 404, 409)
  async change(@Req() request: Request, @Param('id') id: string, @Body() body: unknown): Promise<PersonBody> {
    const change = parseWith(personChangeRequest, body);
    const before = this.#door.people.view(id);
    if (before === undefined) throw peopleProblem('unknown', id);
    if (change.password !== undefined) refuseWeak(change.password, before.name);
    const changed = await this.#door.people.change(id, change);
    if (!changed.ok) throw peopleProblem(changed.because, id);
    const { person } = changed;
    const isOther =
      person.role !== before.role || person.active !== before.active || change.password !== undefined;
    if (isOther) {
      this.#door.sessions.endAllOf(id);
      this.#note(request, 'person-changed', person.name, wordsOf(change));
    }
    return { person };
  }

  #note(request: Request, what: 'person-made' | 'person-changed', subject: string, detail: string): void {
    const { principal, peer } = visitorOf(request);
    this.#door.audit.note({ what, actor: actorOf(principal), subject, from: peer.address, detail });
  }
}

function refuseWeak(password: string, name: string): void {
  const error = newPasswordError(password, name, '/password');
  if (error !== undefined) throw new ProblemException(400, `password: ${error.detail}`, [error]);
}

function wordsOf({ role: next, active, password }: Change): string {
  return [
    ...(next === undefined ? [] : [`role ${next}`]),
    ...(active === undefined ? [] : [active ? 'may come in' : 'may not come in']),
    ...(password === undefined ? [] : ['new password, PIN taken away']),
  ].join(', ');
}
