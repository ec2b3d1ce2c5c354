import { Controller, Inject, type MessageEvent, Sse } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { LiveEvent } from '@edge-margin/monitoring';
import { concat, from, map, type Observable } from 'rxjs';
import { jsonOf } from '../http/api-docs.js';
import type { ServiceState } from '../http/service-state.js';
import { type Present } from '../monitoring/present.js';
import { LIVE_HUB, PRESENT, SERVICE_STATE } from '../tokens.js';
import { type LiveHub } from './live-hub.js';

@ApiTags('live')
@Controller('api/live')
export class LiveController {
  readonly #hub: LiveHub;
  readonly #present: Present;
  readonly #service: ServiceState;

  constructor(
    @Inject(LIVE_HUB) hub: LiveHub,
    @Inject(PRESENT) present: Present,
    @Inject(SERVICE_STATE) service: ServiceState,
  ) {
    this.#hub = hub;
    this.#present = present;
    this.#service = service;
  }

  @Sse()
  @ApiOperation({
    summary:
      'Server-sent events: `assessment`, `alarm`, `service`, each with an id; the latest of each comes first, so a gap heals itself',
  })
  @ApiOkResponse({
    ...jsonOf('LiveEvent'),
    description: 'text/event-stream; `data` is the `data` of a LiveEvent, `event` its `type`',
  })
  stream(): Observable<MessageEvent> {
    const snapshot: LiveEvent[] = [
      { type: 'service', data: this.#service.view() },
      ...[...this.#present.assessments()].map((data): LiveEvent => ({ type: 'assessment', data })),
      ...this.#present.alarms().map((data): LiveEvent => ({ type: 'alarm', data })),
    ];
    return concat(from(snapshot.map((event) => this.#hub.number(event))), this.#hub.events()).pipe(
      map(({ id, event }) => ({ id, type: event.type, data: event.data })),
    );
  }
}
