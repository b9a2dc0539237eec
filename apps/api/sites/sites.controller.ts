import { Body, Controller, Get, Patch } from '@nestjs/common';
import { ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { ChangeSettings, ReadSite, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { respond } from '../edge/shape.js';
import { SettingsBody } from './dtos/settings.body.js';
import { ChangedSettingsResponse, SiteResponse } from './dtos/site.response.js';

@ApiTags('sites')
@Controller('sites')
export class SitesController {
  constructor(
    private readonly readSite: ReadSite,
    private readonly changeSettings: ChangeSettings,
  ) {}

  @Get('mine')
  @Allows('site.read')
  @ApiOkResponse({ type: SiteResponse })
  async showMySite(@CurrentActor() actor: Actor): Promise<SiteResponse> {
    return respond(SiteResponse, await this.readSite.execute(actor));
  }

  @Patch('mine')
  @Allows('settings.change')
  @ApiOkResponse({ type: ChangedSettingsResponse })
  async changeMySite(@Body() body: SettingsBody, @CurrentActor() actor: Actor): Promise<ChangedSettingsResponse> {
    return respond(ChangedSettingsResponse, await this.changeSettings.execute(body, actor));
  }
}
