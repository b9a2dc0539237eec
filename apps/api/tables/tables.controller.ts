import { Body, Controller, Get, HttpCode, Param, Post } from '@nestjs/common';
import { ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { ConfirmTable, ListTables, ReadTable, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { respond } from '../edge/shape.js';
import { ConfirmationBody, TableRefParam } from './dtos/table.body.js';
import { ConfirmedTableResponse, TableListResponse, TableResponse } from './dtos/table.response.js';

@ApiTags('tables')
@Controller('tables')
export class TablesController {
  constructor(
    private readonly list: ListTables,
    private readonly read: ReadTable,
    private readonly confirm: ConfirmTable,
  ) {}

  @Get()
  @Allows('table.read')
  @ApiOkResponse({ type: TableListResponse })
  async listTables(@CurrentActor() actor: Actor): Promise<TableListResponse> {
    return respond(TableListResponse, { items: await this.list.execute(actor) });
  }

  @Get(':ref')
  @Allows('table.read')
  @ApiOkResponse({ type: TableResponse })
  async showTable(@Param() { ref }: TableRefParam, @CurrentActor() actor: Actor): Promise<TableResponse> {
    return respond(TableResponse, await this.read.execute({ ref }, actor));
  }

  @Post(':ref/confirmations')
  @HttpCode(200)
  @Allows('table.confirm')
  @ApiOkResponse({ type: ConfirmedTableResponse })
  async confirmTable(
    @Param() { ref }: TableRefParam,
    @Body() { rules }: ConfirmationBody,
    @CurrentActor() actor: Actor,
  ): Promise<ConfirmedTableResponse> {
    return respond(ConfirmedTableResponse, await this.confirm.execute({ ref, rules }, actor));
  }
}
