import { Body, Controller, Get, Patch, Post } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { AddUnit, ChangeSettings, ReadSite, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { respond } from '../edge/shape.js';
import { SettingsBody } from './dtos/settings.body.js';
import { UnitBody } from './dtos/unit.body.js';
import { ChangedSettingsResponse, SiteResponse, UnitResponse } from './dtos/site.response.js';

@ApiTags('sites')
@Controller('sites')
export class SitesController {
  constructor(
    private readonly readSite: ReadSite,
    private readonly changeSettings: ChangeSettings,
    private readonly addUnit: AddUnit,
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

  @Post('mine/units')
  @Allows('settings.change')
  @ApiCreatedResponse({ type: UnitResponse })
  async addUnitToMySite(@Body() body: UnitBody, @CurrentActor() actor: Actor): Promise<UnitResponse> {
    return respond(UnitResponse, await this.addUnit.execute(body, actor));
  }
}
