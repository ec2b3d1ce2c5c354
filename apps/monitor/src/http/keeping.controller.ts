import type { KeepingBody } from '@edge-margin/monitoring';
import { Controller, Get, Inject } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { Allows } from '../door/allows.js';
import { KEEPING } from '../tokens.js';
import { jsonOf } from './api-docs.js';

@ApiTags('health')
@Controller('api/keeping')
export class KeepingController {
  readonly #keeping: () => KeepingBody;

  constructor(@Inject(KEEPING) keeping: () => KeepingBody) {
    this.#keeping = keeping;
  }

  @Get()
  @Allows('view-service-health')
  @ApiOperation({
    summary:
      'What is kept how long, by the settings in force, and whether letting go is held back because this machine’s clock is not believed',
  })
  @ApiOkResponse(jsonOf('KeepingBody'))
  all(): KeepingBody {
    return this.#keeping();
  }
}
