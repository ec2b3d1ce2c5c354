import { Controller, Get, Inject } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { Allows } from '../door/allows.js';
import { DOCUMENTS } from '../tokens.js';

/** The descriptions of what the service offers, made once at the start. */
export interface Documents {
  openApi: object;
  asyncApi: () => object;
}

const anyObject = { content: { 'application/json': { schema: { type: 'object' } } } };

@ApiTags('documents')
@Controller('api')
export class DocumentsController {
  readonly #documents: Documents;

  constructor(@Inject(DOCUMENTS) documents: Documents) {
    this.#documents = documents;
  }

  @Get('openapi.json')
  @Allows('view')
  @ApiOperation({ summary: 'This description (OpenAPI 3.1)' })
  @ApiOkResponse({ ...anyObject, description: 'An OpenAPI document' })
  openApi(): object {
    return this.#documents.openApi;
  }

  // It names the broker and our client id: not for whoever passes a shared screen.
  @Get('asyncapi.json')
  @Allows('view-service-health')
  @ApiOperation({
    summary:
      'What the service reads from and publishes to the MQTT broker (AsyncAPI 3.0), from the plant file that holds',
  })
  @ApiOkResponse({ ...anyObject, description: 'An AsyncAPI document' })
  asyncApi(): object {
    return this.#documents.asyncApi();
  }
}
