import type { ReadingsNotUsedBody } from '@edge-margin/monitoring';
import { Controller, Get, Inject } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { Allows } from '../door/allows.js';
import { RECORDS } from '../tokens.js';
import { jsonOf } from './api-docs.js';
import type { Records } from './records.js';

@ApiTags('signals')
@Controller('api/readings-not-used')
export class ReadingsNotUsedController {
  readonly #records: Records;

  constructor(@Inject(RECORDS) records: Records) {
    this.#records = records;
  }

  @Get()
  @Allows('view')
  @ApiOperation({
    summary:
      'Messages and values that could not be used, counted by reason, with the latest of each as a sample',
  })
  @ApiOkResponse(jsonOf('ReadingsNotUsedBody'))
  all(): ReadingsNotUsedBody {
    return this.#records.readingsNotUsed();
  }
}
