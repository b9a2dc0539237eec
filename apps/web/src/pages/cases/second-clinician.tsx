import { TextEntry } from '../../shell/fields.js';

/** The second signature's own sign-in, typed by that person. */
export interface Clinician {
  readonly login: string;
  readonly password: string;
}

/** The part of a request that carries the second signature, if it was given. */
export function secondClinicianOf({ login, password }: Clinician): { secondClinician?: Clinician } {
  return login.trim() ? { secondClinician: { login: login.trim(), password } } : {};
}

export function SecondClinician({
  why,
  value,
  onChange,
  fault,
}: {
  why: string;
  value: Clinician;
  onChange: (value: Clinician) => void;
  fault: string | undefined;
}) {
  return (
    <fieldset>
      <legend>{why}</legend>
      <div className="side-by-side">
        <TextEntry
          label="Second clinician’s sign-in name"
          value={value.login}
          onChange={(login) => onChange({ ...value, login })}
          fault={fault}
        />
        <TextEntry
          label="Second clinician’s password"
          type="password"
          value={value.password}
          onChange={(password) => onChange({ ...value, password })}
        />
      </div>
    </fieldset>
  );
}
