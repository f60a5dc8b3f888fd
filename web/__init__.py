"""The pages: Flask, and nothing but Flask, on top of the rooms."""

from web.app import create_app

__all__ = ["create_app"]
