import { toolWords } from '@chordae/words';
import type { ToolId } from './canvas/drawing';
import type { DeskActionId, DeskKeys } from './desk-keys';
import { showKey } from './desk-keys';

/** Tools by what they are for; each with its own key. */
const TOOLS: readonly { readonly name: string; readonly tools: readonly ToolId[] }[] = [
  { name: 'Distances', tools: ['length', 'pair', 'lv-set', 'angle'] },
  { name: 'Areas and volumes', tools: ['outline', 'ellipse', 'discs', 'discs-two'] },
  { name: 'Time and flow', tools: ['time', 'slope', 'velocity', 'trace'] },
  { name: 'The clip itself', tools: ['calibration', 'cavity'] },
];

/** All tools, the one at work marked. */
export function ToolBar({
  keys,
  at,
  onTool,
}: {
  keys: DeskKeys;
  at: ToolId | null;
  onTool: (tool: ToolId) => void;
}) {
  return (
    <div className="tools" role="toolbar" aria-label="Measuring tools">
      {TOOLS.map((group) => (
        <div key={group.name} role="group" aria-label={group.name} className="tools-group">
          {group.tools.map((tool) => (
            <button
              key={tool}
              type="button"
              className="tool"
              aria-pressed={at === tool}
              onClick={() => onTool(tool)}
            >
              {toolWords[tool].name}
              <kbd aria-hidden="true" className="key">
                {showKey(keys[`tool-${tool}` satisfies DeskActionId])}
              </kbd>
            </button>
          ))}
        </div>
      ))}
    </div>
  );
}
