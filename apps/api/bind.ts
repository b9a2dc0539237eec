import type { FactoryProvider, InjectionToken } from '@nestjs/common';

/** A name for a port that is an interface, since an interface does not exist at run time. */
export type PortName<T> = symbol & { readonly port?: T };

type TokenOf<T> = PortName<T> | (abstract new (...parts: never[]) => T);
type TokensOf<Parts extends readonly unknown[]> = { readonly [Index in keyof Parts]: TokenOf<Parts[Index]> };
type Constructor = new (...parts: never[]) => object;

/**
 * Binds a plain class to the ports that its constructor names, in their order; the compiler compares the two lists, so
 * that a port too few or in the wrong place does not build.
 *
 * @example bind(ReadPlan, UnitOfWork)
 */
export function bind<C extends Constructor>(
  part: C,
  ...ports: TokensOf<ConstructorParameters<C>>
): FactoryProvider<InstanceType<C>> {
  return {
    provide: part,
    inject: [...(ports as readonly InjectionToken[])],
    useFactory: (...bound: ConstructorParameters<C>) => new part(...bound) as InstanceType<C>,
  };
}
