"""What a publication follows from besides the log: the software, the club's settings, the models and the words."""

from hashlib import sha256
from importlib.metadata import version

from models.settings import Settings
from sql.build_inputs import words_table
from sql.catalogue import Model
from sql.judging import Judgement

MadeWith = tuple[str, str, str]

MADE_WITH = "select software_version, settings, models_sha256 from core.this_build"
"""What a publication says of itself; told alike by `made_with` of what one would be made with now."""


def made_with(settings: Settings, models: tuple[Model, ...], judgements: tuple[Judgement, ...]) -> MadeWith:
    """The version of the software, the settings as JSON, and a fingerprint of models, judgements and words."""
    texts = [
        *(f"{vars(model) | {'reads': sorted(model.reads)}}" for model in models),
        *(f"{judgement.table} {judgement.version} {judgement.columns}" for judgement in judgements),
        words_table().write_json(),
    ]
    return version("halflong"), settings.model_dump_json(), sha256("\n".join(texts).encode()).hexdigest()
