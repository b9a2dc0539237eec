import { Body, Controller, Get, Post, Query } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { CreatePerson, ListPeople, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { respond } from '../edge/shape.js';
import { CreatedPersonResponse, PeopleResponse } from './dtos/people.response.js';
import { PeopleQuery, PersonBody } from './dtos/person.body.js';

@ApiTags('people')
@Controller('people')
export class PeopleController {
  constructor(
    private readonly list: ListPeople,
    private readonly create: CreatePerson,
  ) {}

  @Get()
  @Allows('people.list')
  @ApiOkResponse({ type: PeopleResponse })
  async listPeople(@Query() query: PeopleQuery, @CurrentActor() actor: Actor): Promise<PeopleResponse> {
    return respond(PeopleResponse, await this.list.execute(query, actor));
  }

  @Post()
  @Allows('people.create')
  @ApiCreatedResponse({ type: CreatedPersonResponse })
  async createPerson(@Body() body: PersonBody, @CurrentActor() actor: Actor): Promise<CreatedPersonResponse> {
    return respond(CreatedPersonResponse, await this.create.execute(body, actor));
  }
}
