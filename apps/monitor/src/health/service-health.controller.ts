import type { ServiceHealthBody } from '@edge-margin/monitoring';
import { Controller, Get, Inject } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { Allows } from '../door/allows.js';
import { jsonOf } from '../http/api-docs.js';
import { HEALTH } from '../tokens.js';
import type { Health } from './open-health.js';

@ApiTags('health')
@Controller('api/service-health')
export class ServiceHealthController {
  readonly #health: Health;

  constructor(@Inject(HEALTH) health: Health) {
    this.#health = health;
  }

  @Get()
  @Allows('view-service-health')
  @ApiOperation({
    summary:
      'Every part of the service: its state, since when, why, and its figures; and the service’s own alarms',
  })
  @ApiOkResponse(jsonOf('ServiceHealthBody'))
  all(): ServiceHealthBody {
    return this.#health.body();
  }
}
