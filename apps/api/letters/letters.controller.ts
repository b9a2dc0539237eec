import { Body, Controller, Get, HttpCode, Param, Post, Query, StreamableFile } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiProduces, ApiTags } from '@nestjs/swagger';
import { DraftLetter, ListLetters, ReadLetter, SignLetter, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { LetterIdParam, OfIncidentQuery } from '../edge/id.param.js';
import { respond } from '../edge/shape.js';
import { LetterBody } from './dtos/letter.body.js';
import { LetterListResponse, LetterResponse } from './dtos/letter.response.js';

@ApiTags('letters')
@Controller('letters')
export class LettersController {
  constructor(
    private readonly list: ListLetters,
    private readonly read: ReadLetter,
    private readonly draft: DraftLetter,
    private readonly sign: SignLetter,
  ) {}

  @Post()
  @Allows('letter.draft')
  @ApiCreatedResponse({
    type: LetterResponse,
    description: 'A draft that says the same and waits for its signature is the answer to a repeat.',
  })
  async draftLetter(@Body() body: LetterBody, @CurrentActor() actor: Actor): Promise<LetterResponse> {
    return respond(LetterResponse, await this.draft.execute(body, actor));
  }

  @Get()
  @Allows('letter.read')
  @ApiOkResponse({ type: LetterListResponse })
  async listLetters(
    @Query() { incidentId }: OfIncidentQuery,
    @CurrentActor() actor: Actor,
  ): Promise<LetterListResponse> {
    return respond(LetterListResponse, { items: await this.list.execute({ incidentId }, actor) });
  }

  @Get(':letterId')
  @Allows('letter.read')
  @ApiOkResponse({ type: LetterResponse })
  async showLetter(@Param() { letterId }: LetterIdParam, @CurrentActor() actor: Actor): Promise<LetterResponse> {
    return respond(LetterResponse, await this.read.execute({ letterId }, actor));
  }

  @Get(':letterId/letter.pdf')
  @Allows('letter.read')
  @ApiProduces('application/pdf')
  @ApiOkResponse({
    description: 'A tagged PDF: as it was signed, or with a draft mark.',
    schema: { type: 'string', format: 'binary' },
  })
  async showLetterPdf(@Param() { letterId }: LetterIdParam, @CurrentActor() actor: Actor): Promise<StreamableFile> {
    const bytes = await this.read.pdf({ letterId }, actor);
    return new StreamableFile(bytes, {
      type: 'application/pdf',
      disposition: `inline; filename="referral-${letterId}.pdf"`,
      length: bytes.byteLength,
    });
  }

  @Post(':letterId/signature')
  @HttpCode(200)
  @Allows('letter.sign')
  @ApiOkResponse({ type: LetterResponse })
  async signLetter(@Param() { letterId }: LetterIdParam, @CurrentActor() actor: Actor): Promise<LetterResponse> {
    return respond(LetterResponse, await this.sign.execute({ letterId }, actor));
  }
}
