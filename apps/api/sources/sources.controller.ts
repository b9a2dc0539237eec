import { Body, Controller, Get, HttpCode, Param, Post } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { ChangeSourceStatus, CreateSource, ListSources, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { SourceIdParam } from '../edge/id.param.js';
import { respond } from '../edge/shape.js';
import { SourceBody, SourceStatusBody } from './dtos/source.body.js';
import { ChangedSourceResponse, SourceListResponse, SourceResponse } from './dtos/source.response.js';

@ApiTags('sources')
@Controller('sources')
export class SourcesController {
  constructor(
    private readonly list: ListSources,
    private readonly create: CreateSource,
    private readonly change: ChangeSourceStatus,
  ) {}

  @Get()
  @Allows('source.read')
  @ApiOkResponse({ type: SourceListResponse })
  async listSources(@CurrentActor() actor: Actor): Promise<SourceListResponse> {
    return respond(SourceListResponse, { items: await this.list.execute(actor) });
  }

  @Post()
  @Allows('source.change')
  @ApiCreatedResponse({
    type: SourceResponse,
    description: 'The pseudonym is its key: a repeat answers with the same.',
  })
  async createSource(@Body() body: SourceBody, @CurrentActor() actor: Actor): Promise<SourceResponse> {
    return respond(SourceResponse, await this.create.execute(body, actor));
  }

  @Post(':sourceId/statuses')
  @HttpCode(200)
  @Allows('source.change')
  @ApiOkResponse({ type: ChangedSourceResponse, description: 'A repeat of the latest status adds none.' })
  async changeSourceStatus(
    @Param() { sourceId }: SourceIdParam,
    @Body() body: SourceStatusBody,
    @CurrentActor() actor: Actor,
  ): Promise<ChangedSourceResponse> {
    return respond(ChangedSourceResponse, await this.change.execute({ ...body, sourceId }, actor));
  }
}
