import { Controller, Get, Query } from '@nestjs/common';
import { ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { CountBreaches, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { respond } from '../edge/shape.js';
import { CountsQuery } from './dtos/counts.query.js';
import { CountsResponse } from './dtos/counts.response.js';

@ApiTags('trends')
@Controller('trends')
export class TrendsController {
  constructor(private readonly count: CountBreaches) {}

  @Get('counts')
  @Allows('insight.count')
  @ApiOkResponse({ type: CountsResponse })
  async countBreaches(@Query() query: CountsQuery, @CurrentActor() actor: Actor): Promise<CountsResponse> {
    return respond(CountsResponse, await this.count.execute(query, actor));
  }
}
