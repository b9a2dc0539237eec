import { Body, Controller, Get, Post } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { SetUpSite } from '#application';
import { OpenToAll } from '../access/allows.js';
import { respond } from '../edge/shape.js';
import { SetupBody, SetupNeededResponse, SiteSetUpResponse } from './dtos/setup.body.js';

@ApiTags('setup')
@Controller('setup')
export class SetupController {
  constructor(private readonly setUp: SetUpSite) {}

  @Get()
  @OpenToAll('The first page asks whether there is anything to sign in to.')
  @ApiOkResponse({ type: SetupNeededResponse })
  async showSetup(): Promise<SetupNeededResponse> {
    return { needed: await this.setUp.isNeeded() };
  }

  @Post()
  @OpenToAll('Nobody has an account yet; the one-time token stands for the right.')
  @ApiCreatedResponse({ type: SiteSetUpResponse })
  async setUpSite(@Body() body: SetupBody): Promise<SiteSetUpResponse> {
    return respond(SiteSetUpResponse, await this.setUp.execute(body));
  }
}
