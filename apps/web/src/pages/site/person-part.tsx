import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, type PersonBody, type Role, type Site } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { Choice, Several, TextEntry } from '../../shell/fields.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';
import { ROLE_WORDS, wordsFor } from '../../words.js';

const ROLES: readonly Role[] = ['wearer', 'nurse', 'infection-control', 'manager', 'administrator'];
const EMPTY = {
  name: '',
  staffNumber: '',
  dateOfBirth: '',
  telephone: '',
  email: '',
  job: '',
  login: '',
  password: '',
};

/** Adds a person, with an account or without: a person may have none and still be followed up by telephone. */
export function PersonPart({ site }: { site: Site }) {
  const [typed, setTyped] = useState(EMPTY);
  const [unitId, setUnitId] = useState<string>();
  const [account, setAccount] = useState<'none' | 'account'>('none');
  const [role, setRole] = useState<Role>();
  const [unitIds, setUnitIds] = useState<string[]>([]);
  const add = useAct((body: PersonBody) => api.addPerson(body), {
    changes: [['people']],
    onDone: () => {
      setTyped(EMPTY);
      setUnitId(undefined);
      setAccount('none');
      setRole(undefined);
      setUnitIds([]);
    },
  });
  const entry = (
    field: keyof typeof EMPTY,
    label: string,
    pointer = `/${field}`,
    type?: 'date' | 'tel' | 'email' | 'password',
  ) => (
    <TextEntry
      label={label}
      type={type}
      value={typed[field]}
      onChange={(value) => setTyped({ ...typed, [field]: value })}
      fault={faultAt(add.error, pointer)}
      autoComplete={type === 'password' ? 'new-password' : 'off'}
    />
  );
  const given = (field: 'dateOfBirth' | 'telephone' | 'email') =>
    typed[field].trim() ? { [field]: typed[field].trim() } : {};
  return (
    <section aria-labelledby="person-heading">
      <h2 id="person-heading">Add a person</h2>
      <Form
        className="inset"
        onSubmit={(event) => {
          event.preventDefault();
          if (!unitId) return;
          add.mutate({
            name: typed.name.trim(),
            staffNumber: typed.staffNumber.trim(),
            job: typed.job.trim(),
            unitId,
            ...given('dateOfBirth'),
            ...given('telephone'),
            ...given('email'),
            ...(account === 'account' && role
              ? {
                  account: {
                    login: typed.login.trim(),
                    password: typed.password,
                    role,
                    ...(role === 'manager' ? { unitIds } : {}),
                  },
                }
              : {}),
          });
        }}
      >
        <div className="side-by-side">
          {entry('name', 'Name')}
          {entry('staffNumber', 'Staff number')}
          {entry('job', 'Job')}
          {entry('dateOfBirth', 'Date of birth (second identifier)', '/dateOfBirth', 'date')}
          {entry('telephone', 'Telephone', '/telephone', 'tel')}
          {entry('email', 'Mail', '/email', 'email')}
        </div>
        <Choice
          label="Unit"
          value={unitId}
          onChange={setUnitId}
          options={site.units.map((unit) => [unit.unitId, unit.name] as const)}
          fault={faultAt(add.error, '/unitId')}
        />
        <Choice
          label="Account"
          value={account}
          onChange={setAccount}
          options={[
            ['none', 'No account'],
            ['account', 'With an account'],
          ]}
        />
        {account === 'account' && (
          <>
            <Choice<Role>
              label="Role"
              value={role}
              onChange={setRole}
              options={ROLES.map((each) => [each, wordsFor(ROLE_WORDS, each)] as const)}
              fault={faultAt(add.error, '/account/role')}
            />
            {role === 'manager' && (
              <Several
                label="Units whose duty list they read"
                value={unitIds}
                onChange={setUnitIds}
                options={site.units.map((unit) => [unit.unitId, unit.name] as const)}
                fault={faultAt(add.error, '/account/unitIds')}
              />
            )}
            <div className="side-by-side">
              {entry('login', 'Sign-in name', '/account/login')}
              {entry('password', 'First password', '/account/password', 'password')}
            </div>
          </>
        )}
        <Refusal
          error={withoutFields(add.error, [
            '/name',
            '/staffNumber',
            '/job',
            '/dateOfBirth',
            '/telephone',
            '/email',
            '/unitId',
            '/account',
          ])}
        />
        {add.isSuccess && <p role="status">The person is added.</p>}
        <ActButton
          type="submit"
          isBusy={add.isPending}
          isDisabled={!typed.name.trim() || !typed.staffNumber.trim() || !unitId}
        >
          Add this person
        </ActButton>
      </Form>
    </section>
  );
}
