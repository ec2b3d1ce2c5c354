import { Controller, Inject, type MessageEvent, Req, Sse } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { LiveEvent } from '@edge-margin/monitoring';
import type { Request } from 'express';
import { concat, filter, from, interval, map, merge, type Observable, takeUntil } from 'rxjs';
import { Allows } from '../door/allows.js';
import type { Door } from '../door/door.js';
import { isStillThere, visitorOf } from '../door/visitor.js';
import type { ServiceState } from '../http/service-state.js';
import { type Present } from '../monitoring/present.js';
import { DOOR, LIVE_HUB, PRESENT, SERVICE_STATE } from '../tokens.js';
import { jsonOnce } from './json-once.js';
import { type LiveHub } from './live-hub.js';

@ApiTags('live')
@Controller('api/live')
export class LiveController {
  readonly #hub: LiveHub;
  readonly #present: Present;
  readonly #service: ServiceState;
  readonly #door: Door;

  constructor(
    @Inject(LIVE_HUB) hub: LiveHub,
    @Inject(PRESENT) present: Present,
    @Inject(SERVICE_STATE) service: ServiceState,
    @Inject(DOOR) door: Door,
  ) {
    this.#hub = hub;
    this.#present = present;
    this.#service = service;
    this.#door = door;
  }

  @Sse()
  @Allows('view')
  @ApiOperation({
    summary:
      'Server-sent events: `assessment`, `alarm`, `service`, each with an id; the latest of each comes first, so a gap heals itself',
  })
  @ApiOkResponse({
    content: { 'text/event-stream': { schema: { $ref: '#/components/schemas/LiveEvent' } } },
    description: 'A stream that does not end; `data` is the `data` of a LiveEvent, `event` its `type`',
  })
  stream(@Req() request: Request): Observable<MessageEvent> {
    const snapshot: LiveEvent[] = [
      { type: 'service', data: this.#service.view() },
      ...[...this.#present.assessments()].map((data): LiveEvent => ({ type: 'assessment', data })),
      ...this.#present.alarms().map((data): LiveEvent => ({ type: 'alarm', data })),
    ];
    return concat(from(snapshot.map((event) => this.#hub.number(event))), this.#hub.events()).pipe(
      map(({ id, event }) => ({ id, type: event.type, data: jsonOnce(event.data) })),
      takeUntil(this.#left(request)),
    );
  }

  /** When who listens may no longer: at once where a session ends, within seconds where time runs out. */
  #left(request: Request): Observable<unknown> {
    const visitor = visitorOf(request);
    return merge(this.#door.sessions.ended(), interval(5000)).pipe(
      filter(() => !isStillThere(visitor, this.#door)),
    );
  }
}
