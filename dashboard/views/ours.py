"""Components of ours in a page, each with its script: served by us, for the policy runs no other."""

from pathlib import Path
from typing import Any

from streamlit.components.v2 import component
from streamlit.components.v2.get_bidi_component_manager import get_bidi_component_manager
from streamlit.components.v2.manifest_scanner import ComponentConfig, ComponentManifest

OURS = "halflong"
_VIEWS = Path(__file__).parent


def mounted(name: str) -> Any:
    """The component whose script is `name/name.js`.

    Streamlit looks for scripts in packages named like their distribution; ours is not, so we say.
    """
    manager = get_bidi_component_manager()
    registered = f"{OURS}.{name}"
    if manager.get_component_asset_root(registered) is None:
        manager.register_from_manifest(ComponentManifest(OURS, "1", [ComponentConfig(name, name)]), _VIEWS)
    return component(registered, js=f"{name}.js", isolate_styles=False)
