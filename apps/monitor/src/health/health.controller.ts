import type { LivenessBody, ReadinessBody } from '@edge-margin/monitoring';
import { Controller, Get, HttpCode, Inject, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { Response } from 'express';
import { AllowsAnybody } from '../door/allows.js';
import { jsonOf } from '../http/api-docs.js';
import { HEALTH } from '../tokens.js';
import type { Health } from './open-health.js';

@ApiTags('health')
@Controller('health')
export class HealthController {
  readonly #health: Health;

  constructor(@Inject(HEALTH) health: Health) {
    this.#health = health;
  }

  @Get('live')
  @AllowsAnybody()
  @HttpCode(200)
  @ApiOperation({ summary: 'The process runs and answers' })
  @ApiOkResponse({ ...jsonOf('LivenessBody'), description: 'It does' })
  live(): LivenessBody {
    return { status: 'pass' };
  }

  @Get('ready')
  @AllowsAnybody()
  @ApiOperation({
    summary: 'The service does its work: connected, subscribed, and what comes in can be kept',
  })
  @ApiOkResponse({
    ...jsonOf('ReadinessBody'),
    description: '`pass`, or `warn` where a part is degraded and the service does its work nevertheless',
  })
  @ApiResponse({
    status: 503,
    ...jsonOf('ReadinessBody'),
    description: '`fail`: it cannot do its work; `because` names each part and its reason',
  })
  ready(@Res({ passthrough: true }) response: Response): ReadinessBody {
    const readiness = this.#health.readiness();
    response.status(readiness.status === 'fail' ? 503 : 200);
    return readiness;
  }
}
