import { Body, Controller, Delete, Get, HttpCode, Post, Req, Res } from '@nestjs/common';
import { ApiNoContentResponse, ApiOkResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { ReadSession, SignIn, SignOut, type AccountRecord } from '#application';
import { Allows, OpenToAll } from '../access/allows.js';
import { CurrentAccount } from '../access/current-actor.js';
import { clearSessionToken, sessionTokenOf, setSessionToken } from '../access/session-cookie.js';
import { respond } from '../edge/shape.js';
import { SignInBody } from './dtos/session.body.js';
import { SessionResponse } from './dtos/session.response.js';

@ApiTags('session')
@Controller('session')
export class SessionController {
  constructor(
    private readonly signIn: SignIn,
    private readonly readSession: ReadSession,
    private readonly signOut: SignOut,
  ) {}

  @Post()
  @HttpCode(200)
  @OpenToAll('This is how a session begins.')
  @ApiOkResponse({ type: SessionResponse })
  async openSession(
    @Body() body: SignInBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<SessionResponse> {
    const { token, session } = await this.signIn.execute(body);
    setSessionToken(reply, token);
    return respond(SessionResponse, session);
  }

  @Get()
  @Allows('session.read')
  @ApiOkResponse({ type: SessionResponse })
  async showSession(@CurrentAccount() account: AccountRecord): Promise<SessionResponse> {
    return respond(SessionResponse, await this.readSession.execute(account));
  }

  @Delete()
  @HttpCode(204)
  @OpenToAll('A session that has ended already is as good as ended now.')
  @ApiNoContentResponse()
  async endSession(@Req() request: FastifyRequest, @Res({ passthrough: true }) reply: FastifyReply): Promise<void> {
    const token = sessionTokenOf(request);
    if (token) await this.signOut.execute(token);
    clearSessionToken(reply);
  }
}
