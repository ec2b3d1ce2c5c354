import { Controller, Get, Header, Headers, Inject, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Response } from 'express';
import { Allows } from '../door/allows.js';
import { refusals } from '../http/api-docs.js';
import { ProblemException } from '../http/problem.js';
import { METRICS } from '../tokens.js';
import { acceptsOpenMetrics } from './accepts-open-metrics.js';
import { contentType, type Family, openMetricsText } from './families.js';

@ApiTags('health')
@Controller('metrics')
export class MetricsController {
  readonly #families: () => readonly Family[];

  constructor(@Inject(METRICS) families: () => readonly Family[]) {
    this.#families = families;
  }

  @Get()
  @Allows('view-service-health')
  @Header('Cache-Control', 'no-store')
  @ApiOperation({ summary: 'Figures of the service for machines that collect them (OpenMetrics 1.0)' })
  @ApiOkResponse({ content: { [contentType]: { schema: { type: 'string' } } } })
  @refusals(406)
  async all(
    @Headers('accept') accept: string | undefined,
    @Res({ passthrough: true }) response: Response,
  ): Promise<string> {
    if (!acceptsOpenMetrics(accept))
      throw new ProblemException(406, `Accept: "${accept ?? ''}" was given; ${contentType} is what there is`);
    response.type(contentType);
    return openMetricsText(this.#families());
  }
}
