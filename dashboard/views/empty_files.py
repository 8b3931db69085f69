"""Files to begin with, one of each kind."""

import streamlit as st

from ingest.templates import explanation, template_csv
from models.records import RECORDS


def show_templates() -> None:
    """An empty file of each kind, and what its columns mean."""
    st.header("Files to begin with")
    st.write(
        "Players, setups and a target come before the logs. Drop them all at once, and they are taken in that order."
    )
    for kind, tab in zip(RECORDS, st.tabs([kind.capitalize() for kind in RECORDS]), strict=True):
        with tab:
            st.write(RECORDS[kind].about)
            st.download_button(
                "A target to begin with" if kind == "targets" else f"Empty {kind} file",
                template_csv(kind).encode("utf-8-sig"),
                file_name=f"{kind}.csv",
                mime="text/csv",
                icon=":material/download:",
                key=f"template-{kind}",
                on_click="ignore",
            )
            with st.expander(f"The columns of the {kind} file"):
                st.markdown(explanation(kind).partition(RECORDS[kind].about)[2])
