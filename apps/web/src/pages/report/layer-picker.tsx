import { useState } from 'react';
import { Button } from 'react-aria-components/Button';
import { ToggleButton } from 'react-aria-components/ToggleButton';
import { ActButton } from '../../shell/act-button.js';
import type { Ensemble, Site, Worded } from '../../api.js';
import { REGIONS, type Region } from '../../layers/body-plan.js';
import { LayerDrawing, wornWhole } from '../../layers/layer-drawing.js';
import { TickTile } from '../../shell/tile.js';
import { inWords } from '../../words.js';
import type { Lapse, What } from './draft.js';

const NOTHING: What = { layers: [], lapses: [], caughtInTime: false };

/** Where it failed: touch the part of the body, or take the layer from the list; both lead to the same answer. */
export function LayerPicker({
  ensemble,
  site,
  value,
  onChange,
  onDone,
}: {
  ensemble: Ensemble;
  site: Site;
  value: What | undefined;
  onChange: (what: What) => void;
  onDone: (what: What) => void;
}) {
  const [region, setRegion] = useState<Region | null>(null);
  const [pointedAt, setPointedAt] = useState<string | null>(null);
  const what = value ?? NOTHING;
  const covers = (zones: readonly string[]) => region === null || region.zones.some((zone) => zones.includes(zone));
  const toggle = <Id extends string>(list: readonly Id[], id: Id, isChosen: boolean) =>
    isChosen ? [...list, id] : list.filter((each) => each !== id);
  const lapses = site.form.lapses as readonly (Worded & { readonly code: Lapse })[];
  const chosen = what.layers.length + what.lapses.length;
  const zones = wornWhole(ensemble).map((zone) => ({
    ...zone,
    layers: zone.layers.map(({ layer, state }) => ({
      layer,
      state: what.layers.includes(layer) ? ('partial' as const) : state,
    })),
  }));
  return (
    <div className="layer-picker">
      <div className="layer-map">
        <LayerDrawing
          zones={zones}
          marked={pointedAt ? [...what.layers, pointedAt] : what.layers}
          label={`A figure wearing ${ensemble.name}: one line for each layer, the outermost outside.`}
        />
        <div role="group" aria-label="Part of the body">
          {REGIONS.map((each) => (
            <ToggleButton
              key={each.id}
              className={`region region-${each.id}`}
              aria-label={each.name}
              isSelected={region?.id === each.id}
              onChange={(isSelected) => setRegion(isSelected ? each : null)}
            />
          ))}
        </div>
      </div>
      <div className="layer-lists">
        <section aria-labelledby="layers-heading">
          <h2 id="layers-heading">
            {region ? `Layers over: ${region.name}` : 'A layer failed'}
            {region && (
              <Button className="quiet" onPress={() => setRegion(null)}>
                Show all layers
              </Button>
            )}
          </h2>
          <p className="from-outside">From the outside in</p>
          <div className="tiles">
            {ensemble.layers
              .filter((layer) => covers(layer.zones))
              .map((layer) => (
                <TickTile
                  key={layer.id}
                  note={layer.zones.map((zone) => inWords(site.form.zones, zone)).join(', ')}
                  isChosen={what.layers.includes(layer.id)}
                  onHoverChange={(isHovered) => setPointedAt(isHovered ? layer.id : null)}
                  onChange={(isChosen) =>
                    onChange({ ...what, layers: toggle(what.layers, layer.id, isChosen), caughtInTime: false })
                  }
                >
                  {layer.name}
                </TickTile>
              ))}
          </div>
        </section>
        <section aria-labelledby="lapses-heading">
          <h2 id="lapses-heading">Or a step went wrong</h2>
          <div className="tiles">
            {lapses.map(({ code, words }) => (
              <TickTile
                key={code}
                isChosen={what.lapses.includes(code)}
                onChange={(isChosen) =>
                  onChange({ ...what, lapses: toggle(what.lapses, code, isChosen), caughtInTime: false })
                }
              >
                {words}
              </TickTile>
            ))}
          </div>
        </section>
        <section aria-labelledby="neither-heading">
          <h2 id="neither-heading">Or neither</h2>
          <div className="tiles">
            <Button
              className="tile"
              aria-pressed={what.caughtInTime}
              onPress={() => onDone({ ...NOTHING, caughtInTime: true })}
            >
              <span className="tile-words">It was caught in time</span>
              <span className="tile-note">Nothing outside could have reached you</span>
            </Button>
            <Button
              className="tile tile-unknown"
              aria-pressed={value !== undefined && chosen === 0 && !what.caughtInTime}
              onPress={() => onDone(NOTHING)}
            >
              <span className="tile-words">Not known</span>
              <span className="tile-note">Something failed; which layer is not clear</span>
            </Button>
          </div>
        </section>
      </div>
      {chosen > 0 && (
        <div className="go-on">
          <ActButton onPress={() => onDone(what)}>Go on with {chosen === 1 ? 'this' : `these ${chosen}`}</ActButton>
        </div>
      )}
    </div>
  );
}
