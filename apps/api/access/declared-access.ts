import { Injectable, type OnModuleInit } from '@nestjs/common';
import { PATH_METADATA } from '@nestjs/common/constants.js';
import { DiscoveryService, MetadataScanner, Reflector } from '@nestjs/core';
import { ACCESS_RULE, type AccessRule } from './allows.js';

/** A route whose author forgot who may use it. */
export class UndeclaredAccess extends Error {
  constructor(routes: readonly string[]) {
    super(
      `No access rule on ${routes.join(', ')}: name its operation with @Allows, or why it is open with @OpenToAll.`,
    );
    this.name = 'UndeclaredAccess';
  }
}

/** Stops the boot while any route has no access rule, so that a forgotten one never answers a request. */
@Injectable()
export class DeclaredAccess implements OnModuleInit {
  constructor(
    private readonly discovery: DiscoveryService,
    private readonly scanner: MetadataScanner,
    private readonly reflector: Reflector,
  ) {}

  onModuleInit(): void {
    const undeclared = this.discovery.getControllers().flatMap(({ instance, metatype }) => {
      if (!instance || !metatype) return [];
      const prototype = Object.getPrototypeOf(instance) as Record<string, () => unknown>;
      return this.scanner
        .getAllMethodNames(prototype)
        .map((name) => [name, prototype[name]] as const)
        .filter(([, handler]) => handler !== undefined && Reflect.hasMetadata(PATH_METADATA, handler))
        .filter(
          ([, handler]) =>
            !this.reflector.getAllAndOverride<AccessRule | undefined>(ACCESS_RULE, [
              handler as () => unknown,
              metatype,
            ]),
        )
        .map(([name]) => `${metatype.name}.${name}`);
    });
    if (undeclared.length > 0) throw new UndeclaredAccess(undeclared);
  }
}
