import { Injectable, type ArgumentMetadata, type PipeTransform } from '@nestjs/common';
import { plainToInstance } from 'class-transformer';
import { validate } from 'class-validator';
import { MalformedRequest, type RequestFault } from '../problems/malformed-request.js';
import { faultsOf } from '../problems/validation-faults.js';
import { unreadablePlace } from './readable-text.js';

const PRIMITIVES: readonly unknown[] = [String, Boolean, Number, Array, Object];

function asParameter({ pointer = '', ...fault }: RequestFault): RequestFault {
  return { ...fault, parameter: pointer.replace(/^\//, '') };
}

/** Nothing passes the edge that its class does not declare: a field too many is refused by name, not dropped. */
@Injectable()
export class RequestShapePipe implements PipeTransform {
  async transform(value: unknown, { type, metatype }: ArgumentMetadata): Promise<unknown> {
    if (type === 'custom' || !metatype || PRIMITIVES.includes(metatype)) return value;
    const plain = value ?? {};
    if (typeof plain !== 'object' || Array.isArray(plain)) {
      throw new MalformedRequest('The body must be one JSON object.', [
        { pointer: '', detail: 'This is not an object.', accepted: 'one JSON object' },
      ]);
    }
    const unreadable = unreadablePlace(plain);
    if (unreadable) {
      const fault = type === 'body' ? unreadable : asParameter(unreadable);
      throw new MalformedRequest('The request holds something that cannot be read.', [fault]);
    }
    const instance = plainToInstance(metatype, plain) as object;
    const errors = await validate(instance, {
      whitelist: true,
      forbidNonWhitelisted: true,
      forbidUnknownValues: false,
      stopAtFirstError: true,
      validationError: { target: true, value: false },
    });
    if (errors.length === 0) return instance;
    const faults = faultsOf(errors);
    throw new MalformedRequest(
      'The request does not have the shape that is accepted here.',
      type === 'body' ? faults : faults.map(asParameter),
    );
  }
}
