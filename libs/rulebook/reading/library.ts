import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseDocument } from 'yaml';
import { RulebookDefect } from '../refusals.js';
import { Schemas, type FileKind } from './schemas.js';

/** The folder of data files; names in it are relative to that folder and appear so in every defect. */
export class Library {
  private readonly schemas = new Schemas();

  constructor(private readonly folder: string = fileURLToPath(new URL('../data', import.meta.url))) {}

  /** Reads one file and holds it against the schema of its kind. */
  read<T>(name: string, kind: FileKind): T {
    return this.parse<T>(name, textOf(join(this.folder, name), name), kind);
  }

  /** Reads a file outside the folder by the same rules; its own path names it in a defect. */
  readElsewhere<T>(path: string, kind: FileKind): T {
    return this.parse<T>(path, textOf(path, path), kind);
  }

  /** As `read`, or undefined where the file does not exist. */
  readIfThere<T>(name: string, kind: FileKind): T | undefined {
    return this.names().includes(name) ? this.read<T>(name, kind) : undefined;
  }

  private parse<T>(name: string, text: string, kind: FileKind): T {
    // YAML 1.2: "yes" and "no" stay words. Decimals are quoted, so that no digit is lost on the way.
    const document = parseDocument(text, { version: '1.2', uniqueKeys: true });
    const [error] = document.errors;
    if (error) throw new RulebookDefect(name, '', error.message.split('\n', 1)[0] ?? '', undefined, error);
    const content: unknown = document.toJS();
    const defect = this.schemas.defectOf(kind, content);
    if (defect) throw new RulebookDefect(name, defect.pointer, defect.message);
    return content as T;
  }

  /** Data files under a folder, texts in a language left out, in a stable order. */
  dataFiles(under: string): string[] {
    return this.names().filter((name) => name.startsWith(`${under}/`) && !/\.[a-z]{2}\.yaml$/.test(name));
  }

  private names(): string[] {
    return readdirSync(this.folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith('.yaml'))
      .map((entry) =>
        join(entry.parentPath, entry.name)
          .slice(this.folder.length + 1)
          .replaceAll('\\', '/'),
      )
      .sort();
  }
}

function textOf(path: string, name: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch (cause) {
    throw new RulebookDefect(name, '', 'cannot be read', undefined, cause);
  }
}

/** The file of texts that stands beside a data file. */
export function textsBeside(name: string, locale = 'en'): string {
  return name.replace(/\.yaml$/, `.${locale}.yaml`);
}
