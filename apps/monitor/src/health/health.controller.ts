import { Controller, Get, HttpCode, Inject, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { Response } from 'express';
import type { ServiceState } from '../http/service-state.js';
import { SERVICE_STATE } from '../tokens.js';

@ApiTags('health')
@Controller('health')
export class HealthController {
  readonly #service: ServiceState;

  constructor(@Inject(SERVICE_STATE) service: ServiceState) {
    this.#service = service;
  }

  @Get('live')
  @HttpCode(200)
  @ApiOperation({ summary: 'The process runs and answers' })
  @ApiOkResponse({
    content: {
      'application/json': {
        schema: { type: 'object', properties: { status: { type: 'string', enum: ['pass'] } } },
      },
    },
  })
  live(): { status: 'pass' } {
    return { status: 'pass' };
  }

  @Get('ready')
  @ApiOperation({
    summary: 'The service does its work: connected, subscribed, and what comes in can be kept',
  })
  @ApiOkResponse({ description: 'Ready' })
  @ApiResponse({ status: 503, description: 'Not ready; `because` names each part and its reason' })
  ready(@Res({ passthrough: true }) response: Response): {
    status: 'pass' | 'fail';
    because: ReturnType<ServiceState['notReady']>;
  } {
    const because = this.#service.notReady();
    response.status(because.length === 0 ? 200 : 503);
    return { status: because.length === 0 ? 'pass' : 'fail', because };
  }
}
