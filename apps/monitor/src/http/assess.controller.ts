import { answerPoint } from '@edge-margin/air-film';
import type { AssessBody } from '@edge-margin/monitoring';
import { Body, Controller, HttpCode, Post } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { Allows } from '../door/allows.js';
import { jsonOf, refusals, requestOf } from './api-docs.js';
import { ProblemException } from './problem.js';

@ApiTags('air')
@Controller('api/assess')
export class AssessController {
  @Post()
  @HttpCode(200)
  @Allows('assess-point')
  @ApiOperation({
    summary:
      'What entrained air does at one operating point; same request, same answer as the command `assess`',
  })
  @ApiBody(requestOf('AssessRequest'))
  @ApiOkResponse(jsonOf('AssessBody'))
  @refusals(400)
  assess(@Body() body: unknown): AssessBody {
    const answered = answerPoint(body);
    if (answered.ok) return answered.answer;
    throw new ProblemException(400, answered.problems.join('; '));
  }
}
