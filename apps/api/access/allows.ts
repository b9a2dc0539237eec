import { applyDecorators, SetMetadata } from '@nestjs/common';
import { ApiExtension } from '@nestjs/swagger';
import { ACCESS_MATRIX, type Operation } from '#application';

export const ACCESS_RULE = 'innerglove:access-rule';

/** Open to somebody who has not signed in; each use says why. */
export type AccessRule = { readonly operation: Operation } | { readonly open: string };

/**
 * Names the line of the access matrix that a route stands under. The use case enforces it again, with the object in hand;
 * here it turns a role away before anything is read, and it stands in the OpenAPI document as `x-access`.
 */
export const Allows = (operation: Operation) =>
  applyDecorators(
    SetMetadata(ACCESS_RULE, { operation } satisfies AccessRule),
    ApiExtension('x-access', { operation, roles: ACCESS_MATRIX[operation] }),
  );

export const OpenToAll = (why: string) =>
  applyDecorators(
    SetMetadata(ACCESS_RULE, { open: why } satisfies AccessRule),
    ApiExtension('x-access', { open: why }),
  );
